#include "halfarc/app/logged_adviser.h"

#include <gtest/gtest.h>

#include "halfarc/app/keep_log.h"
#include "halfarc/logbook/responses.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

const Utc kEvening = Utc::parse("2026-11-25T21:00Z").value();

ClipCheck ring(double minutes, double coma_x) {
  ClipCheck check;
  check.recording.path = "/nights/ring-" + std::to_string(minutes) + ".ser";
  check.recording.frames = 200;
  check.recording.start = kEvening + Duration::minutes(minutes);
  check.kind = ClipKind::star;
  check.donut = Donut();
  check.donut->optics = StarRing();
  check.donut->optics->coma_x = {coma_x, 0.02};
  check.donut->optics->coma_y = {0.0, 0.02};
  return check;
}

TEST(LoggedAdviser, KnowsWhatWasReadAndTurnedBeforeTheClipAndNothingAfter) {
  const ScratchFolder home;
  OwnerLog log = open_owner_log(home.path()).value();
  for (const double minutes : {0.0, 10.0, 20.0})
    ASSERT_TRUE(keep_check(log, ring(minutes, 0.5 - 0.02 * minutes), kEvening).has_value());
  ASSERT_TRUE(keep_turn(log, {Control::screw_a, 0.125}, kEvening + Duration::minutes(5.0)).has_value());
  ASSERT_TRUE(keep_turn(log, {Control::screw_a, 0.0625}, kEvening + Duration::minutes(15.0)).has_value());

  const Tonight tonight = tonight_before(log, kEvening + Duration::minutes(10.0)).value();
  EXPECT_EQ(tonight.history.readings.size(), 1U);
  EXPECT_EQ(tonight.history.turns.size(), 1U);
  EXPECT_TRUE(tonight_before(log, kEvening + Duration::days(3.0))->history.readings.empty());
}

TEST(LoggedAdviser, ANightTeachesTheScrews) {
  const ScratchFolder home;
  OwnerLog log = open_owner_log(home.path()).value();
  const Rig rig = example_rig();
  const TrainSolution train = solve(rig).value();
  ASSERT_TRUE(keep_check(log, ring(0.0, 0.5), kEvening).has_value());
  ASSERT_TRUE(keep_turn(log, {Control::screw_a, 0.125}, kEvening + Duration::minutes(5.0)).has_value());
  ASSERT_TRUE(keep_check(log, ring(10.0, 0.2), kEvening).has_value());
  ASSERT_TRUE(learn_tonight(log, rig, train, kEvening).has_value());

  const auto rows = responses_of(log.database, log.rig).value();
  const auto row = std::find_if(rows.begin(), rows.end(), [](const ResponseRow& r) { return r.reading == "coma_x"; });
  ASSERT_NE(row, rows.end());
  EXPECT_EQ(row->pairs, 1);
  EXPECT_NEAR(row->value, -0.3 / 0.125, 5.0 * row->sigma);
  EXPECT_LT(row->value, 0.0);
}

}  // namespace
}  // namespace halfarc
