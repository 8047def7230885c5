#include "halfarc/server/qr_text.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace halfarc::server {
namespace {

TEST(QrText, IsASquareWithAQuietZone) {
  const std::string text = qr_text("http://192.168.1.5:4505/#pair=7KQ4M2XR").value();
  const auto lines = std::count(text.begin(), text.end(), '\n');
  // Version 3 (29 squares a side) holds 42 bytes at medium correction [QrCode2015]; four squares of quiet zone around.
  EXPECT_EQ(lines, (29 + 8 + 1) / 2);
  const std::string first = text.substr(0, text.find('\n'));
  std::string light;
  for (int i = 0; i < 37; ++i) light += "█";
  EXPECT_EQ(first, light);
}

TEST(QrText, RefusesWhatDoesNotFit) { EXPECT_FALSE(qr_text(std::string(4000, 'x'))); }

}  // namespace
}  // namespace halfarc::server
