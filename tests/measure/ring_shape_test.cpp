#include "halfarc/measure/ring_shape.h"

#include <gtest/gtest.h>

#include <cmath>

#include "../support/memory_recording.h"
#include "halfarc/base/random.h"

namespace halfarc {
namespace {

constexpr int kSize = 112;

struct DrawnRing {
  double outer = 36.0, inner = 13.0;  // radii, pixels
  double hole_x = 0.0, hole_y = 0.0;  // of the hole's centre against the ring's, pixels
};

// Soft-edged rings whose hole wanders from frame to frame, and with noise.
testing::MemoryRecording rings(const DrawnRing& ring, std::size_t frames, std::uint64_t seed) {
  RecordingInfo info;
  info.width = info.height = kSize;
  info.sample = Sample::u16;
  info.bits = 12;
  info.frames = frames;
  Rng rng(seed);
  std::vector<std::byte> bytes(frames * kSize * kSize * 2);
  auto* samples = reinterpret_cast<std::uint16_t*>(bytes.data());
  const auto inside = [](double r, double radius) { return 0.5 * std::erfc((r - radius) / 2.0); };
  for (std::size_t f = 0; f < frames; ++f) {
    const double x0 = 55.0 + rng.normal(), y0 = 56.0 + rng.normal();
    const double hx = x0 + ring.hole_x + 2.0 * rng.normal(), hy = y0 + ring.hole_y + 2.0 * rng.normal();
    for (int y = 0; y < kSize; ++y) {
      for (int x = 0; x < kSize; ++x) {
        const double light =
            inside(std::hypot(x - x0, y - y0), ring.outer) * (1.0 - inside(std::hypot(x - hx, y - hy), ring.inner));
        *samples++ = static_cast<std::uint16_t>(std::max(0.0, 100.0 + 600.0 * light + 12.0 * rng.normal()));
      }
    }
  }
  return {std::move(info), std::move(bytes)};
}

std::optional<RingShape> shape_of(const testing::MemoryRecording& clip) {
  Silent progress;
  const auto index = index_recording(clip, {}, progress);
  return ring_shape(clip, *index).value();
}

TEST(RingShape, FindsEdgesAndHole) {
  const auto s = shape_of(rings({36.0, 13.0, 4.0, -2.5}, 100, 1));
  ASSERT_TRUE(s);
  EXPECT_NEAR(s->outer_diameter.value, 72.0, 1.0);
  EXPECT_NEAR(s->inner_diameter.value, 26.0, 2.0);  // the wandering blurs the hole, which then reads small
  EXPECT_NEAR(s->hole_x.value, 4.0 / 72.0, 0.01);
  EXPECT_NEAR(s->hole_y.value, -2.5 / 72.0, 0.01);
}

// z-scores over seeds.
TEST(RingShape, ErrorsAreHonest) {
  constexpr int kSeeds = 12;
  double z = 0.0, sigma = 0.0;
  for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
    const auto s = shape_of(rings({}, 60, seed));
    ASSERT_TRUE(s);
    z += (std::pow(s->hole_x.value / s->hole_x.sigma, 2) + std::pow(s->hole_y.value / s->hole_y.sigma, 2)) /
         (2.0 * kSeeds);
    sigma += s->hole_x.sigma / kSeeds;
  }
  EXPECT_NEAR(z, 1.3, 0.8);  // of Student's t with nine degrees of freedom: 9 / 7
  EXPECT_GT(sigma, 0.001);
  EXPECT_LT(sigma, 0.01);
}

TEST(RingShape, SaysNothingOfWhatIsNoRing) {
  EXPECT_FALSE(shape_of(rings({36.0, -20.0}, 60, 1)));
  EXPECT_FALSE(shape_of(rings({}, 30, 1)));
}

}  // namespace
}  // namespace halfarc
