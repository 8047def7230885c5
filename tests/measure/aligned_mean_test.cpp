#include "halfarc/measure/aligned_mean.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>

#include "discs.h"
#include "memory_recording.h"

namespace halfarc {
namespace {

struct Clip {
  test::MemoryRecording recording;
  RecordingIndex index;
  std::vector<std::size_t> all;
};

// A disc that wanders over the frame, no two frames alike; its centre is put into the index as if it had been found.
Clip wandering(Mosaic mosaic, int frames, double noise) {
  const auto info = test::layout(80, 76, mosaic, Sample::f32, 12);
  Clip clip{test::MemoryRecording(info), {}, {}};
  for (int i = 0; i < frames; ++i) {
    Rng rng = Rng(3).child("frame", static_cast<std::uint64_t>(i));
    test::DrawnDisc d;
    d.diameter = 30.0;
    d.level = 1000.0;
    d.x = 40.0 + 2.0 * rng.normal();
    d.y = 38.0 + 2.0 * rng.normal();
    const std::vector<std::vector<double>> one{test::draw(d, 80, 76, 2)};
    clip.recording.add(test::expose(info, one, {50.0, 0.0, noise, {0.5, 1.0, 0.7}}, rng));
    FrameIndex f;
    f.found = true;
    f.centroid = {d.x, d.y};
    f.area = 700.0F;
    clip.index.frames.push_back(f);
    clip.all.push_back(static_cast<std::size_t>(i));
  }
  return clip;
}

// Each colour's mean, fitted where its samples fell, gives back the disc about the common centroid.
TEST(AlignedMean, PutsEveryColourInItsPlace) {
  for (const Mosaic mosaic : {Mosaic::mono, Mosaic::rggb, Mosaic::bggr, Mosaic::rgb}) {
    const Clip clip = wandering(mosaic, 40, 3.0);
    const auto mean = aligned_mean(clip.recording, clip.index, clip.all, 56);
    ASSERT_TRUE(mean);
    EXPECT_EQ(mean->frames, 40U);
    EXPECT_EQ(mean->has_colours(), mosaic != Mosaic::mono);
    for (std::size_t c = 0; c < 3; ++c) {
      if (mean->colours[c].value.empty()) continue;
      const double level = std::array{0.5, 1.0, 0.7}[c] * 1000.0;
      const auto fit = fit_disc(mean->colours[c], {mean->centroid, 28.0, 50.0, 0.8 * level});
      ASSERT_TRUE(fit);
      EXPECT_NEAR(fit->x.value, mean->centroid.x, 0.03) << name(mosaic) << c;
      EXPECT_NEAR(fit->y.value, mean->centroid.y, 0.03) << name(mosaic) << c;
      EXPECT_NEAR(fit->equatorial_diameter.value, 30.0, 0.2) << name(mosaic) << c;
    }
  }
}

TEST(AlignedMean, LeavesFullScaleOut) {
  const auto info = test::layout(32, 32, Mosaic::mono, Sample::u8, 8);
  test::MemoryRecording recording(info);
  std::vector<std::byte> frame(info.bytes_per_frame(), std::byte{40});
  frame[16 * 32 + 16] = std::byte{255};
  recording.add(frame);
  RecordingIndex index;
  index.frames.resize(1);
  index.frames[0].found = true;
  index.frames[0].centroid = {15.5, 15.5};
  const std::vector<std::size_t> numbers{0};
  const auto mean = aligned_mean(recording, index, numbers, 32);
  ASSERT_TRUE(mean);
  EXPECT_EQ(mean->green().weight(16, 16), 0.0F);
  EXPECT_EQ(mean->green().value(15, 16), 40.0F);
}

TEST(AlignedMean, NeedsAnObject) {
  Clip clip = wandering(Mosaic::mono, 3, 1.0);
  for (FrameIndex& f : clip.index.frames) f.found = false;
  EXPECT_FALSE(aligned_mean(clip.recording, clip.index, clip.all, 56));
  EXPECT_EQ(size_for(clip.index), 0);
}

TEST(PictureOf, FillsGapsAndFadesOut) {
  SamplePlane plane{Plane<float>(64, 64), Plane<float>(64, 64), Plane<float>(64, 64), Plane<float>(64, 64)};
  for (int y = 0; y < 64; y += 2) {
    for (int x = 1; x < 64; x += 2) {
      plane.value(x, y) = 110.0F;
      plane.weight(x, y) = 3.0F;
      plane.beside_x(x, y) = 0.25F;
    }
  }
  const Picture picture = picture_of(plane, 10.0);
  EXPECT_NEAR(picture.samples(32, 33), 100.0F, 1e-3F);
  EXPECT_EQ(picture.samples(0, 30), 0.0F);
  EXPECT_NEAR(picture.beside.x, 0.25, 1e-6);
  EXPECT_NEAR(picture.beside.y, 0.0, 1e-6);
}

}  // namespace
}  // namespace halfarc
