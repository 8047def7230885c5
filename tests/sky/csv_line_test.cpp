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

TEST(CsvLine, LinesKeepTheirNumbersAndLeaveOutWhatSaysNothing) {
  const auto lines = lines_of("# heading\n\n a, 1 \r\n#b\n  \nc, 2");
  ASSERT_EQ(lines.size(), 2U);
  EXPECT_EQ(lines[0].text, "a, 1");
  EXPECT_EQ(lines[0].number, 3);
  EXPECT_EQ(lines[1].text, "c, 2");
  EXPECT_EQ(lines[1].number, 6);
  EXPECT_TRUE(lines_of("").empty());
}

}  // namespace
}  // namespace halfarc::sky
