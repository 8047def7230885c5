#include "halfarc/app/learned.h"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>

#include "halfarc/app/owner_log.h"
#include "halfarc/app/rig_file.h"
#include "halfarc/logbook/readings.h"
#include "halfarc/logbook/recordings.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

Trend trend(double mean, double sigma, double scatter, std::size_t nights) {
  return {"x", "", {mean, sigma}, scatter, nights, nights};
}

TEST(Learned, TheNextNightMayDifferByWhatNightsDiffer) {
  EXPECT_DOUBLE_EQ(next_of(trend(2.0, 0.3, 0.4, 5), 9.0).sigma, 0.5);
  EXPECT_DOUBLE_EQ(next_of(trend(2.0, 0.3, 0.0, 2), 0.4).sigma, 0.5);  // two nights do not tell
  EXPECT_DOUBLE_EQ(next_of(trend(2.0, 0.3, 0.0, 3), 0.4).sigma, 0.3);
}

// A home with the rig of a short description and a logbook.
class LearnedHome : public testing::Test {
 protected:
  LearnedHome() {
    std::ofstream(home / "rig.toml") << example_rig_text();
    rig = *rig_of_home(home.path()).value();
    train = solve(rig).value();
  }

  void log(int night, const char* utc, const ReadingRow& reading) {
    OwnerLog book = open_owner_log(home.path()).value();
    RecordingRow row;
    row.start = Utc::parse(utc).value() + Duration::hours(24.0 * night);
    row.night = book.night_of(row.start).value();
    row.rig = book.rig;
    row.path = std::string(utc) + std::to_string(night) + reading.name;
    const auto clip = put_recording(book.database, row).value();
    ASSERT_TRUE(replace_readings(book.database, clip, "check", std::vector{reading}).has_value());
  }

  ScratchFolder home;
  Rig rig;
  TrainSolution train;
};

TEST_F(LearnedHome, ScaleIsTheRigsUntilPlanetsToldIt) {
  const double own = plate_scale(rig, train).arcsec_per_px();
  EXPECT_EQ(scale_of_rig(rig, train, home.path()).source, ScaleSource::rig);
  log(0, "2026-11-25T21:00Z", {"scale", 1.03 * own, 0.001 * own, "arcsec/px"});
  const ScaleOfRig told = scale_of_rig(rig, train, home.path());
  EXPECT_EQ(told.source, ScaleSource::logbook);
  EXPECT_NEAR(told.scale.arcsec_per_px(), 1.03 * own, 1e-9);
}

TEST_F(LearnedHome, AScaleFarFromTheRigsIsNotBelieved) {
  const double own = plate_scale(rig, train).arcsec_per_px();
  log(0, "2026-11-25T21:00Z", {"scale", 1.3 * own, 0.001 * own, "arcsec/px"});
  const ScaleOfRig told = scale_of_rig(rig, train, home.path());
  EXPECT_EQ(told.source, ScaleSource::rig);
  EXPECT_DOUBLE_EQ(told.scale.arcsec_per_px(), own);
}

TEST_F(LearnedHome, SeeingIsOfTheHourWhereThreeNightsTell) {
  const Utc nine = Utc::parse("2026-12-20T21:30Z").value(), two = Utc::parse("2026-12-21T02:30Z").value();
  EXPECT_FALSE(expected_seeing(home.path(), nine));
  for (int night = 0; night < 3; ++night) {
    log(night, "2026-11-25T21:20Z", {"seeing_zenith", 2.0, 0.1, "arcsec"});
    if (night < 2) log(night, "2026-11-26T02:20Z", {"seeing_zenith", 1.0, 0.1, "arcsec"});
  }
  const auto early = expected_seeing(home.path(), nine), late = expected_seeing(home.path(), two);
  ASSERT_TRUE(early && late);
  EXPECT_TRUE(early->of_the_hour);
  EXPECT_NEAR(early->fwhm.value.arcsec(), 2.0, 1e-9);
  EXPECT_EQ(early->nights, 3U);
  EXPECT_FALSE(late->of_the_hour);  // two nights: all hours together say more
  EXPECT_GT(late->fwhm.value.arcsec(), 1.2);
  EXPECT_EQ(early->words(), "Seeing of 2.0 +- 0.1\" as the logbook has it, of 3 nights at that hour.");
}

// Nothing is learned from a file that is no logbook, and nobody is stopped by it.
TEST_F(LearnedHome, AFileThatIsNoLogbookTeachesNothing) {
  std::ofstream(home / "logbook.db")
      << "no database at all, but long enough to be looked at as one, if one is so inclined";
  EXPECT_FALSE(expected_seeing(home.path(), Utc::now()));
  EXPECT_EQ(scale_of_rig(rig, train, home.path()).source, ScaleSource::rig);
}

}  // namespace
}  // namespace halfarc
