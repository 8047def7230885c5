#include "halfarc/app/session_report.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>

#include "halfarc/app/init_home.h"
#include "halfarc/app/owner_log.h"
#include "halfarc/logbook/images.h"
#include "halfarc/logbook/readings.h"
#include "halfarc/logbook/recordings.h"
#include "halfarc/logbook/turns.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

using testing::HasSubstr;

const Utc kRing = Utc::parse("2027-02-14T20:24:00Z").value();
const Utc kRun = Utc::parse("2027-02-14T21:22:00Z").value();

// A ring with coma, a turn of the knob, and a run of Jupiter that became an image; the files are gone.
struct Night {
  ScratchFolder folder;
  OwnerLog log;

  Night() : log(made(folder)) {
    const std::int64_t ring = recording("ring.ser", kRing, "star", "");
    const std::array readings{ReadingRow{"coma_x", 0.3, 0.02, "waves"}, ReadingRow{"coma_y", -0.4, 0.02, "waves"},
                              ReadingRow{"seeing_zenith", 1.6, 0.1, "arcsec"}};
    EXPECT_TRUE(replace_readings(log.database, ring, "check", readings).has_value());
    const std::array runs{recording("run.ser", kRun, "planet", "Jupiter")};
    ImageRow image;
    image.night = log.night_of(kRun).value();
    image.utc = kRun;
    image.path = "/nowhere/jupiter.fits";
    image.frames_read = 1000;
    image.frames_used = 300;
    image.resolved_arcsec = 0.74;
    image.resolved_sigma = 0.04;
    EXPECT_TRUE(put_image(log.database, image, runs).has_value());
  }

  static OwnerLog made(const ScratchFolder& folder) {
    EXPECT_TRUE(init_home(init_asked(folder.path(), "sct", "57.1N,2.1W,12", "Kelderhaven").value()).has_value());
    return open_owner_log(folder.path()).value();
  }

  std::int64_t recording(const std::string& name, Utc start, const std::string& kind, const std::string& target) {
    RecordingRow row;
    row.night = log.night_of(start).value();
    row.rig = log.rig;
    row.path = "/nowhere/" + name;
    row.start = start;
    row.end = start + Duration::s(40.0);
    row.kind = kind;
    row.target = target;
    row.frames = 1000;
    return put_recording(log.database, row).value();
  }

  void turn(const std::string& control, Utc utc) {
    TurnRow row;
    row.night = log.night_of(utc).value();
    row.utc = utc;
    row.control = control;
    row.amount = 0.0625;
    row.unit = "turn";
    EXPECT_TRUE(add_turn(log.database, row).has_value());
  }

  Result<Session> report(const std::string& night = "2027-02-14") {
    Silent progress;
    return session_report({folder.path(), night, {}}, progress);
  }
};

const SessionCause& cause(const Session& session, const std::string& name) {
  for (const SessionCause& c : session.budgets.at(0).causes) {
    if (c.cause == name) return c;
  }
  throw std::out_of_range(name);
}

TEST(SessionReport, TheLastRingBeforeTheRunTellsTheComaOfTheBudget) {
  Night night;
  const auto session = night.report();
  ASSERT_TRUE(session) << session.error().line();
  EXPECT_EQ(session->place, "Kelderhaven");
  ASSERT_EQ(session->budgets.size(), 1U);
  EXPECT_EQ(session->budgets[0].target, "Jupiter");
  EXPECT_THAT(session->budgets[0].notes.at(0), HasSubstr("no longer where they were"));
  const SessionCause& collimation = cause(*session, "collimation");
  ASSERT_TRUE(collimation.measured.has_value());
  EXPECT_LT(collimation.measured->value, collimation.predicted->value - 0.05);  // half a wave, not 0.15
  EXPECT_THAT(collimation.because, HasSubstr("0.50 +- 0.02 waves"));
  EXPECT_THAT(cause(*session, "spin during the run").because, HasSubstr("in 40 s"));
  EXPECT_TRUE(cause(*session, "spin during the run").measured.has_value());
  EXPECT_THAT(cause(*session, "moving air").because, HasSubstr("1.6 +- 0.1\""));
  EXPECT_FALSE(session->next.empty());
  EXPECT_EQ(session->seeing.size(), 1U);
  EXPECT_EQ(session->lines.size(), 3U);
  EXPECT_TRUE(session->images.at(0).picture.png.empty());
}

TEST(SessionReport, AScrewTurnedAfterTheRingMakesItsComaHistory) {
  Night night;
  night.turn("screw-b", kRing + Duration::minutes(2.0));
  const auto session = night.report();
  ASSERT_TRUE(session) << session.error().line();
  EXPECT_FALSE(cause(*session, "collimation").measured.has_value());
  night.turn("focus", kRun - Duration::minutes(2.0));  // other turns change no coma
  EXPECT_EQ(night.report()->turns, 2);
}

TEST(SessionReport, ANightThatIsNotThereIsOneLine) {
  Night night;
  const auto session = night.report("2027-02-15");
  ASSERT_FALSE(session);
  EXPECT_EQ(session.error().kind, ErrorKind::bad_input);
  EXPECT_FALSE(session_as("doc", Session()).has_value());
}

}  // namespace
}  // namespace halfarc
