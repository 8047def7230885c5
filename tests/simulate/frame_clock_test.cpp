#include "halfarc/simulate/frame_clock.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc {
namespace {

TEST(FrameClock, NothingIsLostUnlessSaid) {
  const auto kept = exposures_kept({}, 50, Rng(1));
  for (std::size_t i = 0; i < kept.size(); ++i) EXPECT_EQ(kept[i], i);
}

TEST(FrameClock, TheStatedShareIsLostInGapsOfTheStatedLength) {
  constexpr std::size_t frames = 40000;
  const auto kept = exposures_kept({0.1, 4.0, {}}, frames, Rng(2));
  ASSERT_EQ(kept.size(), frames);
  const auto exposures = static_cast<double>(kept.back() + 1);
  const double lost = exposures - frames;
  double gaps = 0.0;
  for (std::size_t i = 1; i < frames; ++i) gaps += kept[i] > kept[i - 1] + 1 ? 1.0 : 0.0;
  // About 1100 gaps, each of a length that scatters as much as it lasts.
  EXPECT_NEAR(lost / exposures, 0.1, 0.1 * 3.5 * std::sqrt(2.0 / gaps));
  EXPECT_NEAR(lost / gaps, 4.0, 4.0 * 3.5 / std::sqrt(gaps));
}

TEST(FrameClock, TimesStayInOrder) {
  const FrameClock clock{0.0, 1.0, Duration::ms(30.0)};
  const Duration interval = Duration::ms(10.0);
  double before = -1.0;
  double square = 0.0;
  for (std::uint64_t i = 0; i < 2000; ++i) {
    const Duration error = clock_error(clock, interval, Rng(3).child("frame", i));
    const double now = static_cast<double>(i) * interval.s() + error.s();
    EXPECT_GT(now, before);
    before = now;
    const Duration small = clock_error({0.0, 1.0, Duration::ms(1.0)}, interval, Rng(3).child("frame", i));
    square += small.ms() * small.ms() / 2000.0;
  }
  EXPECT_NEAR(square, 1.0, 3.5 * std::sqrt(2.0 / 2000.0));
}

}  // namespace
}  // namespace halfarc
