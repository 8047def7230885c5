#include "halfarc/simulate/spells.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc {
namespace {

TEST(Spells, MeanStrengthIsTheStatedAndR0IsLogNormal) {
  constexpr int seeds = 4000;
  const Spells spells{0.25, Duration::s(5.0)};
  double strength = 0.0;
  double log = 0.0;
  double log_square = 0.0;
  for (std::uint64_t s = 0; s < seeds; ++s) {
    const SpellCourse course(spells, Rng(4).child("night", s));
    const double factor = course.path_factor(Duration::s(12.0));
    strength += factor * factor / seeds;
    const double l = std::log(course.r0_factor(Duration::s(12.0)));
    log += l / seeds;
    log_square += l * l / seeds;
  }
  // exp(5/3 0.25 n) has a relative scatter of 0.43.
  EXPECT_NEAR(strength, 1.0, 3.5 * 0.43 / std::sqrt(seeds));
  EXPECT_NEAR(std::sqrt(log_square - log * log), 0.25, 0.01);
}

TEST(Spells, SteadyAirIsLeftAlone) {
  const SpellCourse course({}, Rng(1));
  EXPECT_EQ(course.path_factor(Duration::s(3.0)), 1.0);
  EXPECT_EQ(course.r0_factor(Duration::s(3.0)), 1.0);
}

TEST(Pulses, ThereForTheStatedShareOfTheTime) {
  const Pulses pulses{Duration::s(5.0), 0.3};
  const Rng rng(8);
  double there = 0.0;
  double highest = 0.0;
  constexpr int n = 50000;
  for (int i = 0; i < n; ++i) {
    const double p = pulse_at(pulses, Duration::ms(20.0 * i), rng);
    there += p > 0.0 ? 1.0 / n : 0.0;
    highest = std::max(highest, p);
    EXPECT_EQ(p, pulse_at(pulses, Duration::ms(20.0 * i), rng));
  }
  EXPECT_NEAR(there, 0.3, 0.005);
  EXPECT_EQ(highest, 1.0);
  EXPECT_EQ(pulse_at({}, Duration::s(1.0), rng), 1.0);
}

}  // namespace
}  // namespace halfarc
