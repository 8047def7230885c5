#include "halfarc/measure/nudge.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

struct Clip {
  RecordingIndex index;
  std::vector<double> times;
};

// 10 s in restless air whose motion hangs together over some frames; from second 4 to 5.5 a key moves the object.
Clip clip(Rng rng, PixelOffset by) {
  Clip c;
  double ax = rng.normal(), ay = rng.normal();
  for (int i = 0; i < 400; ++i) {
    const double t = 0.025 * i, share = std::clamp((t - 4.0) / 1.5, 0.0, 1.0);
    FrameIndex f;
    f.found = true;
    f.centroid = {80.0 + by.x * share + 0.2 * t + 1.5 * ax, 60.0 + by.y * share + 1.5 * ay};
    c.index.frames.push_back(f);
    c.times.push_back(t);
    ax = 0.6 * ax + 0.8 * rng.normal();
    ay = 0.6 * ay + 0.8 * rng.normal();
  }
  return c;
}

TEST(Nudge, ErrorsAreHonest) {
  double z2 = 0.0, length = 0.0;
  constexpr int kSeeds = 60;
  for (std::uint64_t seed = 0; seed < kSeeds; ++seed) {
    const Clip c = clip(Rng(seed).child("nudge"), {30.0, -40.0});
    const auto nudge = find_nudge(c.index, c.times);
    ASSERT_TRUE(nudge);
    const Angle truth = direction_of({30.0, -40.0});
    z2 += std::pow(wrap_signed(nudge->direction.value - truth) / nudge->direction.sigma, 2) / kSeeds;
    length += std::hypot(nudge->x.value, nudge->y.value) / kSeeds;
    EXPECT_NEAR(nudge->begins.s(), 4.0, 0.5);
  }
  EXPECT_NEAR(z2, 1.0, 0.5);
  EXPECT_NEAR(length, 50.0, 1.0);
}

TEST(Nudge, NoneInAQuietClip) {
  const Clip c = clip(Rng(1), {});
  EXPECT_FALSE(find_nudge(c.index, c.times));
  EXPECT_FALSE(find_nudge({}, {}));
}

}  // namespace
}  // namespace halfarc
