#include "halfarc/app/turn_moment.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

#include "halfarc/app/keep_log.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

// A logbook with one clip of two seconds whose file was closed just now, and whose own clock says `started`.
struct Night {
  explicit Night(Utc started) {
    std::ofstream(folder / "clip.fits") << "closed";
    ClipCheck check;
    check.recording.path = folder / "clip.fits";
    check.recording.frames = 2;
    check.recording.times = {started, started + Duration::s(2.0)};
    check.kind = ClipKind::star;
    EXPECT_TRUE(keep_check(log, check, Utc::now()).has_value());
  }
  ScratchFolder folder;
  OwnerLog log = open_owner_log(folder / "home").value();
};

TEST(TurnMoment, ClocksThatAgreeAreLeftAlone) {
  const Utc now = Utc::now();
  const Night night(now - Duration::s(4.0));
  EXPECT_EQ(moment_of_turn(night.log, now).value(), now);
}

TEST(TurnMoment, WithoutAClipItIsNow) {
  const ScratchFolder folder;
  const OwnerLog log = open_owner_log(folder / "home").value();
  const Utc now = Utc::now();
  EXPECT_EQ(moment_of_turn(log, now).value(), now);
}

TEST(TurnMoment, ATurnInASimulatedNightStandsRightBehindTheClipThatItAnswers) {
  const Utc evening = Utc::parse("2027-02-14T20:24:26Z").value();
  const Night night(evening);
  const Utc at = moment_of_turn(night.log, Utc::now() + Duration::minutes(3.0)).value();
  EXPECT_GT(at, evening + Duration::s(2.0));
  EXPECT_LT(at, evening + Duration::s(5.0));  // before the next clip begins
}

TEST(TurnMoment, AnHourLaterNothingIsAnswered) {
  const Night night(Utc::parse("2027-02-14T20:24:26Z").value());
  const Utc later = Utc::now() + Duration::hours(1.0);
  EXPECT_EQ(moment_of_turn(night.log, later).value(), later);
}

TEST(TurnMoment, ARecordingThatIsGoneIsNotAnswered) {
  const Night night(Utc::parse("2027-02-14T20:24:26Z").value());
  std::filesystem::remove(night.folder / "clip.fits");
  const Utc now = Utc::now();
  EXPECT_EQ(moment_of_turn(night.log, now).value(), now);
}

}  // namespace
}  // namespace halfarc
