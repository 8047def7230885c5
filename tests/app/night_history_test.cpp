#include "halfarc/app/night_history.h"

#include <gtest/gtest.h>

#include "halfarc/app/keep_log.h"
#include "halfarc/logbook/recordings.h"
#include "halfarc/logbook/responses.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

Utc evening(double minutes) { return Utc::parse("2026-11-25T20:00Z").value() + Duration::minutes(minutes); }

struct Home {
  ScratchFolder folder;
  OwnerLog log = open_owner_log(folder / "home").value();
  std::int64_t night = log.night_of(evening(0.0)).value();

  void keep(const Reading& reading) {
    RecordingRow row;
    row.night = night;
    row.path = "clip";
    row.target = reading.target;
    row.start = reading.utc - Duration::s(5.0);
    row.end = reading.utc + Duration::s(5.0);
    const auto clip = put_recording(log.database, row).value();
    ASSERT_TRUE(replace_readings(log.database, clip, "check", rows_of(reading)).has_value());
  }
};

Reading coma(double minutes, double x, double y) {
  Reading reading;
  reading.utc = evening(minutes);
  reading.x = x;
  reading.y = y;
  reading.scatter = {0.0009, 0.0002, 0.0016};
  reading.target = "capella";
  return reading;
}

TEST(NightHistory, WhatWasKeptComesBack) {
  Home home;
  std::vector<Reading> all{coma(0.0, 0.3, -0.2)};
  Reading colours = coma(5.0, -0.4, 0.8);
  colours.what = Reads::colours;
  colours.air = Angle::arcsec(1.25);
  all.push_back(colours);
  for (const Reads what : {Reads::focus, Reads::defocus, Reads::waves_per_turn, Reads::backlash}) {
    Reading one = coma(10.0 + 5.0 * static_cast<double>(all.size()), 0.5, 0.0);
    one.what = what;
    one.scatter = {0.01, 0.0, 0.0};
    all.push_back(one);
    if (what == Reads::defocus) {
      one.utc = one.utc + Duration::minutes(1.0);
      one.sign_known = false;
      all.push_back(one);
    }
  }
  for (const Reading& reading : all) home.keep(reading);
  ASSERT_TRUE(keep_turn(home.log, {Control::screw_b, -0.125}, evening(2.0)).has_value());

  const History history = night_history(home.log.database, home.night).value();
  ASSERT_EQ(history.readings.size(), all.size());
  for (std::size_t i = 0; i < all.size(); ++i) {
    const Reading &kept = history.readings[i], &was = all[i];
    EXPECT_EQ(kept.what, was.what);
    EXPECT_EQ(kept.utc, was.utc);
    EXPECT_EQ(kept.x, was.x);
    EXPECT_EQ(kept.y, was.y);
    EXPECT_NEAR(kept.scatter.xx, was.scatter.xx, 1e-15);
    EXPECT_NEAR(kept.scatter.xy, was.scatter.xy, 1e-15);
    EXPECT_NEAR(kept.scatter.yy, was.scatter.yy, 1e-15);
    EXPECT_EQ(kept.sign_known, was.sign_known);
    EXPECT_EQ(kept.target, was.target);
    EXPECT_EQ(kept.air.has_value(), was.air.has_value());
    if (was.air) {
      EXPECT_NEAR(kept.air->arcsec(), 1.25, 1e-12);
    }
  }
  ASSERT_EQ(history.turns.size(), 1U);
  EXPECT_EQ(history.turns[0].turned, (Turned{Control::screw_b, -0.125}));
  EXPECT_TRUE(in_order(history).has_value());
}

TEST(NightHistory, WhatANightTaughtIsKnownToTheNextAndNotCountedTwice) {
  Home home;
  History first;
  first.readings = {coma(0.0, 0.3, 0.0), coma(10.0, 0.1, 0.1)};
  first.turns = {{evening(5.0), {Control::screw_a, 0.125}}, {evening(20.0), {Control::focus, 0.5}}};
  Responses learned;
  learned.screws = ScrewResponse{3.0, -1.5, {0.04, 0.01, 0.09}, 0.99};
  learned.knob = KnobResponse{{4.0, 0.4}, {0.05, 0.02}};
  const auto keep = [&](const History& history) {
    ASSERT_TRUE(keep_responses(home.log.database, std::nullopt, history, learned).has_value());
  };
  keep(first);
  keep(first);  // looked at again
  EXPECT_FALSE(responses_before(home.log.database, std::nullopt, first)->screws.has_value());

  History next;
  next.readings = {coma(24.0 * 60.0, 0.2, 0.0), coma(24.0 * 60.0 + 9.0, 0.0, 0.0)};
  next.turns = {{evening(24.0 * 60.0 + 4.0), {Control::screw_c, 0.125}}};
  const Responses known = responses_before(home.log.database, std::nullopt, next).value();
  ASSERT_TRUE(known.screws.has_value());
  EXPECT_EQ(known.screws->x, 3.0);
  EXPECT_EQ(known.screws->y, -1.5);
  EXPECT_NEAR(known.screws->scatter.xx, 0.04, 1e-12);
  EXPECT_EQ(known.screws->scatter.xy, 0.01);
  EXPECT_EQ(known.screws->counter_clockwise, 0.99);
  EXPECT_FALSE(known.knob.has_value());  // the knob was turned, but nothing was read after it
  learned.screws->x = 3.1;
  keep(next);
  const auto rows = responses_of(home.log.database, std::nullopt).value();
  ASSERT_EQ(rows.size(), 4U);
  for (const ResponseRow& row : rows) EXPECT_EQ(row.pairs, 2);
}

TEST(NightHistory, LeversAndKnobComeBack) {
  Home home;
  History history;
  history.readings = {coma(10.0, 0.1, 0.1), coma(12.0, 0.1, 0.0)};
  history.readings[0].what = Reads::colours;
  history.readings[1].what = Reads::focus;
  history.turns = {{evening(1.0), {Control::levers, 2.0}}, {evening(2.0), {Control::focus, 0.5}}};
  Responses learned;
  learned.corrector = CorrectorResponse{{1.1, 0.05}, 0.98};
  learned.knob = KnobResponse{{4.0, 0.4}, {0.05, 0.02}};
  ASSERT_TRUE(keep_responses(home.log.database, std::nullopt, history, learned).has_value());
  const Responses known = responses_before(home.log.database, std::nullopt, {}).value();
  EXPECT_EQ(known.corrector->strength.value, 1.1);
  EXPECT_EQ(known.corrector->clockwise, 0.98);
  EXPECT_EQ(known.knob->backlash.sigma, 0.02);
}

}  // namespace
}  // namespace halfarc
