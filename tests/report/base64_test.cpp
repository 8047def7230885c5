#include "halfarc/report/base64.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

// Source: [RFC4648] section 10.
TEST(Base64, Rfc4648Section10) {
  EXPECT_EQ(base64(""), "");
  EXPECT_EQ(base64("f"), "Zg==");
  EXPECT_EQ(base64("fo"), "Zm8=");
  EXPECT_EQ(base64("foo"), "Zm9v");
  EXPECT_EQ(base64("foob"), "Zm9vYg==");
  EXPECT_EQ(base64("fooba"), "Zm9vYmE=");
  EXPECT_EQ(base64("foobar"), "Zm9vYmFy");
}

TEST(Base64, TakesAnyByte) { EXPECT_EQ(base64(std::string_view("\xff\x00\xfe", 3)), "/wD+"); }

}  // namespace
}  // namespace halfarc
