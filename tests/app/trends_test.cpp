#include "halfarc/app/trends.h"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>

#include "halfarc/base/random.h"
#include "halfarc/logbook/nights.h"
#include "halfarc/logbook/notes.h"
#include "halfarc/logbook/recordings.h"
#include "halfarc/logbook/schema.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

DatedReading reading(std::int64_t night, double value, double sigma) {
  return {night, Utc::unix_s(1.79e9 + 86400.0 * static_cast<double>(night)), 0.0, value, sigma, std::nullopt};
}

// DerSimonian and Laird's formulas worked by hand: Q = 4 / 0.02 = 200 of two equal values' difference 2, sigma 0.1.
TEST(Trends, PooledValuesWidenByTheScatterBeyondTheirErrors) {
  const std::vector<Measured<double>> agree{{1.0, 0.1}, {1.0, 0.1}};
  EXPECT_NEAR(pool(agree).mean.sigma, 0.1 / std::sqrt(2.0), 1e-12);
  EXPECT_EQ(pool(agree).scatter, 0.0);
  const std::vector<Measured<double>> differ{{0.0, 0.1}, {2.0, 0.1}};
  EXPECT_NEAR(pool(differ).mean.value, 1.0, 1e-12);
  EXPECT_NEAR(pool(differ).scatter, std::sqrt((200.0 - 1.0) / 100.0), 1e-9);
  EXPECT_NEAR(pool(differ).mean.sigma, 1.0, 1e-9);
  const std::vector<Measured<double>> one{{3.0, 0.2}};
  EXPECT_EQ(pool(one).mean.value, 3.0);
  EXPECT_EQ(pool(one).mean.sigma, 0.2);
}

TEST(Trends, AManyTimesReadNightCountsAsOne) {
  std::vector<DatedReading> readings;
  for (int i = 0; i < 100; ++i) readings.push_back(reading(1, 2.0, 0.1));
  readings.push_back(reading(2, 4.0, 0.1));
  const auto trend = trend_of("x", "", readings);
  ASSERT_TRUE(trend.has_value());
  EXPECT_EQ(trend->count, 101U);
  EXPECT_EQ(trend->nights, 2U);
  EXPECT_NEAR(trend->mean.value, 3.0, 0.05);
  EXPECT_GT(trend->mean.sigma, 0.9);
}

TEST(Trends, TheStandardErrorIsHonest) {
  Rng chance(7);
  double squares = 0.0;
  constexpr int runs = 2000, nights = 12, clips = 4;
  for (int run = 0; run < runs; ++run) {
    std::vector<DatedReading> readings;
    for (int n = 0; n < nights; ++n) {
      const double of_night = 0.3 * chance.normal();
      for (int c = 0; c < clips; ++c) readings.push_back(reading(n + 1, 2.0 + of_night + 0.2 * chance.normal(), 0.2));
    }
    const Trend trend = trend_of("x", "", readings).value();
    squares += std::pow((trend.mean.value - 2.0) / trend.mean.sigma, 2);
  }
  EXPECT_NEAR(std::sqrt(squares / runs), 1.0, 0.15);  // twelve nights leave a t of 11 degrees of freedom
}

TEST(Trends, AnglesLieOnACircle) {
  const std::vector<DatedReading> readings{reading(1, 359.0, 0.5), reading(2, 1.0, 0.5), reading(3, 0.5, 0.5)};
  const Trend trend = trend_of("camera_angle", "deg", readings, 360.0).value();
  EXPECT_NEAR(trend.mean.value, 0.1667, 1e-3);
  EXPECT_LT(trend.scatter, 2.0);
}

TEST(Trends, ReadingsWithoutAnErrorTeachNothing) {
  EXPECT_FALSE(trend_of("x", "", std::vector{reading(1, 2.0, 0.0)}).has_value());
  EXPECT_FALSE(trend_of("x", "", {}).has_value());
}

TEST(Trends, HoursAreThoseOfTheSunAtTheSite) {
  DatedReading late = reading(1, 1.5, 0.1);
  late.utc = Utc::parse("2026-11-26T01:30Z").value();
  late.longitude_deg = -15.0;  // 00:30 there
  const auto bins = by_hour("seeing_fwhm", "arcsec", std::vector{late});
  ASSERT_EQ(bins.size(), 1U);
  EXPECT_EQ(bins[0].from, 24.0);
  EXPECT_EQ(bins[0].to, 25.0);
}

TEST(Trends, OfALogbook) {
  const ScratchFolder home;
  Database book = open_logbook(home / "logbook.db", Access::write).value();
  const auto night = put_night(book, "2026-11-25", std::nullopt).value();
  const Utc start = Utc::parse("2026-11-25T21:00Z").value();
  ASSERT_TRUE(add_note(book, {0, night, start, "a breeze", 3.0}).has_value());
  RecordingRow row;
  row.night = night;
  row.path = "a.ser";
  row.start = start + Duration::minutes(20.0);
  const auto clip = put_recording(book, row).value();
  const std::vector<ReadingRow> readings{{"seeing_zenith", 1.8, 0.1, "arcsec"}, {"waves_per_turn", 3.0, 0.2, ""}};
  ASSERT_TRUE(replace_readings(book, clip, "check", readings).has_value());
  std::ofstream(home / "cooling.csv") << "2026-11-25 18:00,18.0,8.0\n2026-11-25 18:40,13.1,8.0\n"
                                         "2026-11-25 19:20,10.6,8.0\n2026-11-25 20:00,9.3,8.0\n";

  const Trends trends = trends_of(book, std::nullopt, home.path()).value();
  EXPECT_FALSE(trends.scale.has_value());
  EXPECT_EQ(trends.seeing->count, 1U);
  ASSERT_EQ(trends.seeing_by_wind.size(), 1U);
  EXPECT_EQ(trends.seeing_by_wind[0].from, 2.0);
  EXPECT_EQ(trends.seeing_by_hour.at(0).from, 21.0);
  EXPECT_EQ(trends.knob->mean.value, 3.0);
  EXPECT_NEAR(trends.time_constant->mean.value, 40.0 / std::log(10.0 / 5.1), 2.0);
}

}  // namespace
}  // namespace halfarc
