#include "halfarc/report/seeing_chart.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "harbour_night.h"

namespace halfarc {
namespace {

using ::testing::HasSubstr;

std::size_t count_of(const std::string& text, const std::string& part) {
  std::size_t count = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++count;
  return count;
}

TEST(SeeingChart, ADotAReadingOverWholeHours) {
  const std::string svg = seeing_chart(testing::harbour_night().seeing);
  EXPECT_EQ(count_of(svg, "<circle"), 2U);
  EXPECT_THAT(svg, HasSubstr(">21:00<"));
  EXPECT_THAT(svg, HasSubstr(">00:00<"));  // over midnight
  EXPECT_THAT(svg, HasSubstr(">3\"<"));    // 2.3 + 0.2 needs the third arcsecond
}

TEST(SeeingChart, OneReadingIsEnough) {
  auto seeing = testing::harbour_night().seeing;
  seeing.resize(1);
  const std::string svg = seeing_chart(seeing);
  EXPECT_EQ(count_of(svg, "<circle"), 1U);
  EXPECT_EQ(svg.find("nan"), std::string::npos);
}

}  // namespace
}  // namespace halfarc
