#include "halfarc/app/pointing_file.h"

#include <gtest/gtest.h>

#include "scratch_folder.h"

namespace halfarc {
namespace {

TEST(PointingFile, ReadingsTeachTheResponse) {
  const auto known =
      parse_pointing("# N m, up, right, error\n1.0,50,-100,5\n2.0,102,-198,5\n-1.5,-74,151,5\n", "p.csv");
  ASSERT_TRUE(known) << known.error().line();
  EXPECT_NEAR(known->altitude, 50.0, 5.0);
  EXPECT_NEAR(known->azimuth, -100.0, 5.0);
  EXPECT_TRUE(is_learned(*known));
}

TEST(PointingFile, SaysWhichLineIsWrong) {
  const auto complaint = [](const char* text) { return parse_pointing(text, "p.csv").error().line(); };
  EXPECT_NE(complaint("1,2,3\n").find("p.csv, line 1: a reading has 4 values"), std::string::npos);
  EXPECT_NE(complaint("1,2,3,4\n1,up,3,4\n").find("line 2: \"up\""), std::string::npos);
  EXPECT_NE(complaint("1,2,3,0\n").find("above 0"), std::string::npos);
}

TEST(PointingFile, NoFileIsThePrior) {
  const ScratchFolder folder;
  const auto known = pointing_of_home(folder.path());
  ASSERT_TRUE(known);
  EXPECT_FALSE(is_learned(*known));
}

}  // namespace
}  // namespace halfarc
