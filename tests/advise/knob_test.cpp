#include "halfarc/advise/knob.h"

#include <gtest/gtest.h>

#include <cmath>
#include <variant>
#include <vector>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

constexpr double kWavesPerTurn = 12.0;
const Knob knob{Length::mm(0.75), false, 0.05};  // counter-clockwise pushes the mirror up

const ContrastCurve& curve() {
  static const ContrastCurve one = defocus_curve({Length::mm(203.0), 0.34}, Length::nm(540.0));
  return one;
}

// A knob as it really is.
struct Bench {
  Rng rng;
  double left, waves, slack;
  double direction = -1.0;
  double now = 0.0;
  std::vector<Event> events = {};

  explicit Bench(std::uint64_t seed) : rng(seed) {
    left = (rng.uniform() < 0.5 ? -1.0 : 1.0) * rng.uniform(0.1, 0.6);
    waves = kWavesPerTurn * (1.0 + 0.25 * std::max(-2.0, std::min(2.0, rng.normal())));
    slack = 0.05 * std::abs(1.0 + 0.5 * rng.normal());
  }

  void star() {
    now += 60.0;
    Reading reading{
        Utc::unix_s(now), Reads::defocus, std::abs(waves * left) + 0.08 * rng.normal(), 0.0, {0.0064, 0, 0}};
    reading.sign_known = false;
    events.emplace_back(reading);
  }

  void series() {
    now += 60.0;
    events.emplace_back(Reading{Utc::unix_s(now), Reads::focus, left + 0.004 * rng.normal(), 0.0, {1.6e-5, 0, 0}});
  }

  void obey(const Advice& advice) {
    for (const Turned& turned : advice.turns) {
      now += 10.0;
      events.emplace_back(Turn{Utc::unix_s(now), turned});
      const double hand = turned.amount * (1.0 + rng.normal() / 60.0) + 0.0015 * rng.normal();
      const double lost = hand * direction < 0.0 ? std::min(slack, std::abs(hand)) : 0.0;
      left -= hand - std::copysign(lost, hand);
      direction = hand;
    }
  }
};

KnobResponse usual() { return expected_response(knob, kWavesPerTurn); }

// Both bars of design: an eighth of a wave is what focus may be off.
TEST(Knob, ASeriesAndOneTurnBringFocusWithinAnEighthOfAWave) {
  int within = 0;
  for (std::uint64_t seed = 0; seed < 200; ++seed) {
    Bench bench(seed);
    bench.series();
    bench.obey(advise_knob(knob, true, follow_knob(usual(), bench.events), curve()));
    // One look more, as after every turn: a hand's degree and what it turns add up.
    bench.series();
    bench.obey(advise_knob(knob, true, follow_knob(usual(), bench.events), curve()));
    within += std::abs(bench.left * bench.waves) < 0.25 ? 1 : 0;
  }
  EXPECT_GE(within, 190) << within;
}

TEST(Knob, StarsOutOfFocusTellTheirSideAfterATestTurn) {
  int right = 0, far = 0, wrong = 0, near = 0;
  for (std::uint64_t seed = 0; seed < 200; ++seed) {
    Bench bench(seed);
    bench.star();
    const Advice test = advise_knob(knob, true, follow_knob(usual(), bench.events), curve());
    ASSERT_TRUE(test.test);
    bench.obey(test);
    bench.star();
    const KnobState state = follow_knob(usual(), bench.events);
    const bool clockwise = bench.left > 0.0;
    const bool far_out = std::abs(bench.left * bench.waves) > 1.5;
    far += far_out ? 1 : 0;
    if (state.side_known()) {
      wrong += (state.weight[0] > 0.5) == clockwise ? 0 : 1;
      right += far_out && (state.weight[0] > 0.5) == clockwise ? 1 : 0;
    }
    bench.obey(advise_knob(knob, true, state, curve()));
    bench.star();
    bench.obey(advise_knob(knob, true, follow_knob(usual(), bench.events), curve()));
    near += std::abs(bench.left * bench.waves) < 1.0 ? 1 : 0;  // where a series takes over
  }
  EXPECT_GE(right, far * 9 / 10);  // nearer, the test turn may have gone across, and one more look tells
  EXPECT_LE(wrong, 6);
  EXPECT_GE(near, 170);
}

TEST(Knob, EndsWithTheMirrorPushedUp) {
  const auto after = [&](double left) {
    const Reading reading{Utc(), Reads::focus, left, 0.0, {1e-5, 0, 0}};
    return advise_knob(knob, true, follow_knob(usual(), std::vector<Event>{reading}), curve());
  };
  const Advice up = after(-0.25);
  ASSERT_EQ(up.turns.size(), 1U);
  EXPECT_NEAR(up.turns[0].amount, -0.25, 1e-9);
  const Advice down = after(0.25);
  ASSERT_EQ(down.turns.size(), 2U);
  EXPECT_NEAR(down.turns[0].amount, 0.25 + 0.3, 1e-9);  // slack and a quarter of a turn further
  EXPECT_NEAR(down.turns[1].amount, -0.3, 1e-9);
  EXPECT_TRUE(after(0.004).leave_alone());
}

TEST(Knob, SaysNothingOfUpWhereItsSenseIsNotKnown) {
  const Reading reading{Utc(), Reads::focus, 0.25, 0.0, {1e-5, 0, 0}};
  const Advice advice = advise_knob(knob, false, follow_knob(usual(), std::vector<Event>{reading}), curve());
  ASSERT_EQ(advice.turns.size(), 1U);
  EXPECT_EQ(advice.words.find("mirror"), std::string::npos);
}

TEST(Knob, LearnsItsWavesATurnFromTurnsAndFromSeries) {
  std::vector<Event> events;
  const auto star = [&](double waves) {
    events.emplace_back(Reading{Utc(), Reads::defocus, waves, 0.0, {0.0025, 0, 0}});
  };
  star(6.0);
  events.emplace_back(Turn{Utc(), {Control::focus, 0.2}});
  star(3.9);
  events.emplace_back(Turn{Utc(), {Control::focus, 0.2}});
  star(2.0);
  EXPECT_NEAR(follow_knob(usual(), events).response().waves_per_turn.value, 9.6, 0.7);
  events.emplace_back(Reading{Utc(), Reads::waves_per_turn, 9.8, 0.0, {0.01, 0, 0}});
  events.emplace_back(Reading{Utc(), Reads::backlash, 0.08, 0.0, {1e-6, 0, 0}});
  const KnobResponse learned = follow_knob(usual(), events).response();
  EXPECT_NEAR(learned.waves_per_turn.value, 9.8, 0.1);
  EXPECT_NEAR(learned.backlash.value, 0.08, 0.002);
}

TEST(Knob, IsAsSureAsItSays) {
  double z2 = 0.0;
  for (std::uint64_t seed = 0; seed < 300; ++seed) {
    Bench bench(seed);
    for (int i = 0; i < 3; ++i) {
      bench.series();
      bench.obey(advise_knob(knob, true, follow_knob(usual(), bench.events), curve()));
    }
    const Belief belief = follow_knob(usual(), bench.events).likelier();
    z2 += std::pow((belief.mean[0] - bench.left) / belief.sigma(0), 2) / 300.0;
  }
  EXPECT_LT(z2, 1.2);  // the hand of the bench is steadier than it is taken to be
  EXPECT_GT(z2, 0.2);
}

}  // namespace
}  // namespace halfarc
