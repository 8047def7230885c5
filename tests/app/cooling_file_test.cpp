#include "halfarc/app/cooling_file.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <fstream>
#include <string>

#include "scratch_folder.h"

namespace halfarc {
namespace {

// Readings every quarter of an hour of a mirror that falls from 18 towards 8 degC with this time constant.
std::string evening(const std::string& date, double minutes_constant) {
  std::string text;
  for (int i = 0; i < 9; ++i) {
    const double minutes = 15.0 * i;
    char line[64];
    std::snprintf(line, sizeof line, "%s %02d:%02d,%.2f,8.0\n", date.c_str(), 18 + static_cast<int>(minutes) / 60,
                  static_cast<int>(minutes) % 60, 8.0 + 10.0 * std::exp(-minutes / minutes_constant));
    text += line;
  }
  return text;
}

TEST(CoolingFile, TellsTheMirrorsTimeConstant) {
  const auto one = parse_cooling("# time, mirror, air\n" + evening("2026-11-20", 62.0), "cooling.csv");
  ASSERT_TRUE(one) << one.error().line();
  EXPECT_NEAR(one->value.minutes(), 62.0, 1.0);
  const auto two = parse_cooling(evening("2026-11-20", 60.0) + evening("2026-11-22", 64.0), "cooling.csv");
  ASSERT_TRUE(two) << two.error().line();
  EXPECT_NEAR(two->value.minutes(), 62.0, 1.5);
  EXPECT_LT(two->sigma, one->sigma);
}

TEST(CoolingFile, SaysWhichLineIsWrong) {
  const auto complaint = [](const std::string& text) {
    const auto read = parse_cooling(text, "cooling.csv");
    return read ? std::string() : read.error().line();
  };
  EXPECT_NE(complaint("2026-11-20 18:00,14\n").find("cooling.csv, line 1: a reading has 3 values"), std::string::npos);
  EXPECT_NE(complaint("2026-11-20 18:00,warm,8\n").find("line 1: temperatures are numbers"), std::string::npos);
  EXPECT_NE(complaint("someday,14,8\n").find("cooling.csv, line 1"), std::string::npos);
  EXPECT_NE(complaint("2026-11-20 18:20,14,8\n2026-11-20 18:10,13,8\n").find("line 2: is not later"),
            std::string::npos);
  EXPECT_NE(complaint("").find("holds no readings"), std::string::npos);
}

TEST(CoolingFile, IsTakenIntoTheRigUnlessTheRigKnows) {
  const ScratchFolder folder;
  std::ofstream(folder / "cooling.csv") << evening("2026-11-20", 62.0);
  Rig rig = example_rig();
  ASSERT_TRUE(learn_cooling(folder.path(), rig));
  ASSERT_TRUE(rig.time_constant);
  EXPECT_NEAR(rig.time_constant->minutes(), 62.0, 1.0);
  rig.time_constant = Duration::minutes(90.0);
  ASSERT_TRUE(learn_cooling(folder.path(), rig));
  EXPECT_EQ(rig.time_constant->minutes(), 90.0);
  Rig untouched = example_rig();
  ASSERT_TRUE(learn_cooling(folder / "none", untouched));
  EXPECT_FALSE(untouched.time_constant);
}

}  // namespace
}  // namespace halfarc
