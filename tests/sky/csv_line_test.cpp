#include "halfarc/sky/csv_line.h"

#include <gtest/gtest.h>

namespace halfarc::sky {
namespace {

TEST(CsvLine, IsCutAtCommasAndSemicolonsAndTrimmed) {
  const std::vector<std::string_view> expected = {"Red Spot", "", "2.5"};
  EXPECT_EQ(cells_of(" Red Spot,\t; 2.5\r"), expected);
  EXPECT_EQ(cells_of("").size(), 1U);
  EXPECT_EQ(trimmed(" \t "), "");
}

TEST(CsvLine, NumbersAreWholeCells) {
  EXPECT_EQ(number_in("+2.5"), 2.5);
  EXPECT_EQ(number_in("-1e1"), -10.0);
  for (const char* wrong : {"", "+", "2.5 m", "2,5", "nan", "inf", "east"}) EXPECT_FALSE(number_in(wrong)) << wrong;
}

}  // namespace
}  // namespace halfarc::sky
