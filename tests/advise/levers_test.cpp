#include "halfarc/advise/levers.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <variant>
#include <vector>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

constexpr double kInside = 0.25;  // width of a colour plane over the distance between blue and red

Corrector usual() {
  Corrector corrector;
  corrector.pair.apex = Angle::deg(4.0);
  return corrector;
}

// A corrector as it really stands.
struct Bench {
  Rng rng;
  double marks, roll, strength, air;
  double sense, said;
  double now = 0.0;
  std::vector<Event> events = {};

  Bench(std::uint64_t seed, double roll_sense) : rng(seed), sense(roll_sense) {
    marks = rng.uniform(0.5, 9.0);
    roll = std::clamp(12.0 * rng.normal(), -25.0, 25.0);
    strength = 1.0 + 0.12 * rng.normal();
    air = rng.uniform(0.3, 1.6);
    said = 1.0 + 0.03 * rng.normal();  // the weather is not quite as it was typed
  }

  // Across and along.
  PixelOffset left() const {
    PrismPair pair = usual().pair;
    pair.roll = roll_against(Angle()) + Angle::deg(roll);
    const LeftOver pull = left_over(pair, both_at(marks), usual().place, Angle(), Angle(), usual().red, usual().blue);
    return {strength * pull.across.arcsec(), air + strength * pull.along.arcsec()};
  }

  void read() {
    now += 60.0;
    const double s = 0.03;
    Reading reading{Utc::unix_s(now),
                    Reads::colours,
                    left().x + s * rng.normal(),
                    left().y + s * rng.normal(),
                    {s * s, 0.0, s * s}};
    reading.air = Angle::arcsec(air * said);
    events.emplace_back(reading);
  }

  void obey(const std::vector<Advice>& advice) {
    for (const Advice& one : advice) {
      for (const Turned& turned : one.turns) {
        now += 10.0;
        events.emplace_back(Turn{Utc::unix_s(now), turned});
        if (turned.control == Control::levers)
          marks = std::clamp(marks + turned.amount + 0.05 * rng.normal(), 0.0, 10.0);
        if (turned.control == Control::roll)
          roll += sense * (turned.amount * (1.0 + 0.05 * rng.normal()) + rng.normal());
      }
    }
  }
};

double play(Bench& bench, Corrector corrector, int clips, bool marks_known = true) {
  if (marks_known) corrector.marks = bench.marks;
  const ContrastCurve curve = colour_curve(kInside);
  for (int i = 0; i < clips; ++i) {
    bench.read();
    const LeverState state = follow_levers(corrector, expected_response(corrector), bench.events);
    bench.obey(advise_levers(corrector, state, curve, state.air));
  }
  return 1.0 - curve.at(bench.left().length());
}

// What is left costs less than a hundredth of half-arc contrast (0.13"), from clips good to 0.03". 199 of these 200
// seeds.
TEST(Levers, AndRollComeRightInThreeReadings) {
  int within = 0;
  for (std::uint64_t seed = 0; seed < 200; ++seed) {
    Bench bench(seed, 1.0);
    within += play(bench, usual(), 3) < 0.01 ? 1 : 0;
  }
  EXPECT_GE(within, 190) << within;
}

TEST(Levers, WhoseMarksNobodyReadAtFirstTakeAReadingMore) {
  int within = 0;
  for (std::uint64_t seed = 0; seed < 200; ++seed) {
    Bench bench(seed, 1.0);
    within += play(bench, usual(), 4, false) < 0.01 ? 1 : 0;
  }
  EXPECT_GE(within, 190) << within;
}

TEST(Levers, OfAMirrorImageComeRightToo) {
  Corrector mirrored = usual();
  mirrored.roll_mirrored = true;
  int told = 0, untold = 0;
  for (std::uint64_t seed = 0; seed < 100; ++seed) {
    Bench known(seed, -1.0), flipped(seed, -1.0);
    told += play(known, mirrored, 3) < 0.01 ? 1 : 0;
    untold += play(flipped, usual(), 5) < 0.01 ? 1 : 0;
  }
  EXPECT_GE(told, 95) << told;
  EXPECT_GE(untold, 95) << untold;
}

TEST(Levers, AreAsSureAsTheySay) {
  double roll2 = 0.0, left2 = 0.0;
  for (std::uint64_t seed = 0; seed < 200; ++seed) {
    Bench bench(seed, 1.0);
    Corrector known = usual();
    known.marks = bench.marks;
    play(bench, usual(), 3);
    const Belief belief = follow_levers(known, expected_response(known), bench.events).likelier();
    roll2 += std::pow((belief.mean[1] - bench.roll) / belief.sigma(1), 2) / 200.0;
    left2 += std::pow((belief.mean[2] - bench.strength) / belief.sigma(2), 2) / 200.0;
  }
  EXPECT_NEAR(roll2, 1.0, 0.4);
  EXPECT_NEAR(left2, 1.0, 0.4);
}

TEST(Levers, ThatAreRightAreLeftAlone) {
  Reading reading{Utc(), Reads::colours, 0.01, 0.02, {4e-4, 0.0, 4e-4}};
  reading.air = Angle::arcsec(0.9);
  const LeverState state = follow_levers(usual(), expected_response(usual()), std::vector<Event>{reading});
  const auto advice = advise_levers(usual(), state, colour_curve(kInside), *reading.air);
  EXPECT_TRUE(go_and_record(advice));
}

TEST(Levers, LearnNothingWithoutTheAirsShare) {
  const Reading reading{Utc(), Reads::colours, 0.1, 0.2, {4e-4, 0.0, 4e-4}};
  EXPECT_FALSE(follow_levers(usual(), expected_response(usual()), std::vector<Event>{reading}).read);
}

TEST(Levers, SayThatTheyAreAtTheirEnd) {
  Corrector weak = usual();
  weak.pair.apex = Angle::deg(0.5);
  weak.marks = 10.0;
  Reading reading{Utc(), Reads::colours, 0.0, 1.5, {4e-4, 0.0, 4e-4}};
  reading.air =
      Angle::arcsec(1.5) +
      left_over(weak.pair, both_at(10.0), weak.place, Angle::deg(180.0), Angle(), weak.red, weak.blue).along * -1.0;
  const LeverState state = follow_levers(weak, expected_response(weak), std::vector<Event>{reading});
  const auto advice = advise_levers(weak, state, colour_curve(kInside), *reading.air);
  EXPECT_TRUE(advice[0].leave_alone());
  EXPECT_NE(advice[0].words.find("end"), std::string::npos) << advice[0].words;
}

TEST(Levers, AreTrimmedAgainWhenTheAirsShareHasMoved) {
  // The air's share rises by 0.3" an hour; a hundredth of contrast goes at 0.13" (0.25 * 0.13" rms, mean over
  // directions).
  std::vector<AirAt> hours;
  for (int i = 0; i <= 8; ++i) hours.push_back({Utc::unix_s(1800.0 * i), Angle::arcsec(0.8 + 0.15 * i)});
  const ContrastCurve curve = colour_curve(kInside);
  const auto when = next_trim(hours, Angle::arcsec(0.8), curve);
  ASSERT_TRUE(when.has_value());
  const double moved = 0.3 * when->unix_s() / 3600.0;
  EXPECT_NEAR(1.0 - curve.at(moved), 0.01, 1e-3);
  EXPECT_NEAR(moved, 0.13, 0.02);
  EXPECT_FALSE(next_trim(std::span(hours).first(1), Angle::arcsec(0.8), curve).has_value());
}

}  // namespace
}  // namespace halfarc
