#include "halfarc/measure/index.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numeric>

#include "discs.h"
#include "halfarc/measure/index_frame.h"

namespace halfarc {
namespace {

using test::DrawnDisc;
using test::Exposure;

constexpr std::array kMosaics{Mosaic::mono, Mosaic::rggb, Mosaic::grbg, Mosaic::gbrg, Mosaic::bggr, Mosaic::rgb};

DrawnDisc disc_of(double diameter, double x, double y, double level = 120.0) {
  DrawnDisc d;
  d.diameter = diameter;
  d.x = x;
  d.y = y;
  d.level = level;
  return d;
}

FrameIndex index_drawn(const DrawnDisc& d, const RecordingInfo& info, const Exposure& e, std::uint64_t seed = 1) {
  const std::vector<std::vector<double>> one{d.level > 0.0 ? test::draw(d, info.width, info.height, 3)
                                                           : std::vector<double>(info.samples_per_frame())};
  return index_frame(info, test::expose(info, one, e, Rng(seed)));
}

void expect_found(const RecordingInfo& info, const std::vector<double>& disc, double gain) {
  const Exposure e{6.0 * gain, 0.6 / gain, 1.5 * gain, {0.8, 1.0, 0.5}};
  const std::vector<std::vector<double>> one{disc};
  const FrameIndex f = index_frame(info, test::expose(info, one, e, Rng(1)));
  SCOPED_TRACE(std::string(name(info.mosaic)) + " " + std::to_string(info.bits));
  ASSERT_TRUE(f.found);
  EXPECT_NEAR(f.centroid.x, 82.3, 0.12);
  EXPECT_NEAR(f.centroid.y, 77.6, 0.12);
  EXPECT_NEAR(f.diameter(), 60.0, 1.5);
  EXPECT_NEAR(f.width_x, 15.0, 0.6);  // a uniform disc: diameter / 4
  EXPECT_NEAR(f.width_y, 15.0, 0.6);
  EXPECT_NEAR(f.background, 6.0 * gain, 0.3 * gain);
  EXPECT_NEAR(f.noise, 1.5 * gain, 0.15 * gain);
  EXPECT_EQ(f.lit_border, 0.0F);
  EXPECT_LT(f.red_minus_green.length(), 0.3);
  EXPECT_LT(f.blue_minus_green.length(), 0.4);
}

TEST(Index, FindsTheDiscWhereItIsInEveryLayout) {
  struct Kind {
    Sample sample;
    int bits;
    double gain;
  };
  for (const auto& [w, h] : {std::pair{176, 160}, {173, 161}}) {
    for (const Kind& k : {Kind{Sample::u8, 8, 1.0}, Kind{Sample::u16, 12, 16.0}, Kind{Sample::u16, 16, 256.0},
                          Kind{Sample::f32, 12, 16.0}}) {
      const auto disc = test::draw(disc_of(60.0, 82.3, 77.6, 120.0 * k.gain), w, h, 2);
      for (const Mosaic mosaic : kMosaics) expect_found(test::layout(w, h, mosaic, k.sample, k.bits), disc, k.gain);
    }
  }
}

// Without noise the centroid follows the disc to a hundredth of a pixel, wherever it lies between the pixels.
TEST(Index, CentroidHasNoPixelPhase) {
  const auto info = test::layout(128, 112, Mosaic::rggb, Sample::f32, 12);
  const Exposure quiet{100.0, 0.0, 0.0, {0.7, 1.0, 0.6}};
  for (int i = 0; i < 12; ++i) {
    const double x = 60.0 + i / 6.0, y = 55.0 + i / 9.0;
    const FrameIndex f = index_drawn(disc_of(47.0, x, y, 2000.0), info, quiet);
    EXPECT_NEAR(f.centroid.x, x, 0.01);
    EXPECT_NEAR(f.centroid.y, y, 0.01);
    EXPECT_LT(f.red_minus_green.length(), 0.02);
    EXPECT_LT(f.blue_minus_green.length(), 0.02);
  }
}

TEST(Index, SumsAreTheDisc) {
  const auto info = test::layout(160, 160, Mosaic::mono, Sample::f32, 12);
  const DrawnDisc d = disc_of(80.0, 79.0, 80.0, 1000.0);
  const auto drawn = test::draw(d, 160, 160);
  const FrameIndex f = index_drawn(d, info, {50.0, 0.0, 0.0, {1, 1, 1}});
  EXPECT_NEAR(f.flux, std::accumulate(drawn.begin(), drawn.end(), 0.0), 1e-3 * f.flux);
  EXPECT_NEAR(f.peak, 1050.0, 1.0);
  EXPECT_NEAR(f.background, 50.0, 0.05);
}

// The background stands when the disc leaves only the corners free.
TEST(Index, BackgroundUnderALargeDisc) {
  const auto info = test::layout(176, 176, Mosaic::rggb, Sample::u8, 8);
  const FrameIndex f = index_drawn(disc_of(180.0, 88.0, 87.0), info, {20.0, 0.6, 1.5, {1, 1, 1}});
  ASSERT_TRUE(f.found);
  EXPECT_NEAR(f.background, 20.0, 1.0);
}

TEST(Index, EmptyFramesHoldNothing) {
  for (const Mosaic mosaic : kMosaics) {
    const auto info = test::layout(320, 200, mosaic, Sample::u8, 8);
    int found = 0;
    for (std::uint64_t i = 0; i < 40; ++i) {
      const FrameIndex f = index_drawn(disc_of(10.0, 50.0, 50.0, 0.0), info, {8.0, 0.6, 2.0, {1, 1, 1}}, i);
      found += f.found ? 1 : 0;
      EXPECT_NEAR(f.background, 8.0, 0.2);
      EXPECT_NEAR(f.noise, 2.02, 0.12);  // with the rounding of the samples, sqrt(2^2 + 1/12)
      EXPECT_EQ(f.flux, 0.0);
    }
    EXPECT_EQ(found, 0) << name(mosaic);
  }
}

TEST(Index, TinyAndConstantFramesSurvive) {
  for (const Mosaic mosaic : kMosaics) {
    for (const Sample sample : {Sample::u8, Sample::u16, Sample::f32}) {
      for (const auto& [w, h] : {std::pair{1, 1}, {2, 2}, {3, 1}, {1, 40}, {16, 16}, {17, 33}}) {
        const auto info = test::layout(w, h, mosaic, sample, 8);
        for (const std::byte fill : {std::byte{0}, std::byte{0xff}}) {  // as float: zero and not-a-number
          const std::vector<std::byte> bytes(info.bytes_per_frame(), fill);
          const FrameIndex f = index_frame(info, bytes);
          EXPECT_FALSE(f.found);
          EXPECT_TRUE(std::isfinite(f.background));
        }
      }
    }
  }
}

TEST(Index, CountsSaturatedSamplesOfEachColour) {
  const auto info = test::layout(64, 48, Mosaic::grbg, Sample::u8, 8);
  std::vector<std::byte> bytes(info.bytes_per_frame(), std::byte{10});
  const auto set = [&](int x, int y, int v) {
    bytes[static_cast<std::size_t>(y * 64 + x)] = static_cast<std::byte>(v);
  };
  set(0, 0, 255);    // green
  set(1, 0, 255);    // red
  set(33, 20, 255);  // red
  set(2, 1, 255);    // blue
  set(3, 1, 254);    // not quite
  const FrameIndex f = index_frame(info, bytes);
  EXPECT_EQ(f.saturated[0], 2U);
  EXPECT_EQ(f.saturated[1], 1U);
  EXPECT_EQ(f.saturated[2], 1U);
}

TEST(Index, SeesTheColoursApart) {
  const auto info = test::layout(176, 160, Mosaic::rggb, Sample::u16, 12);
  const std::vector<std::vector<double>> planes{test::draw(disc_of(60.0, 82.0, 78.0, 2000.0), 176, 160),
                                                test::draw(disc_of(60.0, 81.4, 76.2, 2000.0), 176, 160),
                                                test::draw(disc_of(60.0, 81.1, 74.1, 2000.0), 176, 160)};
  const FrameIndex f = index_frame(info, test::expose(info, planes, {100.0, 0.05, 15.0, {0.8, 1.0, 0.5}}, Rng(3)));
  EXPECT_NEAR(f.red_minus_green.x, 0.6, 0.08);
  EXPECT_NEAR(f.red_minus_green.y, 1.8, 0.08);
  EXPECT_NEAR(f.blue_minus_green.x, -0.3, 0.10);
  EXPECT_NEAR(f.blue_minus_green.y, -2.1, 0.10);
}

TEST(Index, EqualFramesHaveEqualFingerprintsAndNoOthers) {
  const auto info = test::layout(64, 64, Mosaic::mono, Sample::u8, 8);
  const std::vector<std::vector<double>> disc{test::draw(disc_of(20.0, 30.0, 30.0), 64, 64)};
  const auto a = test::expose(info, disc, {}, Rng(1)), b = test::expose(info, disc, {}, Rng(2));
  EXPECT_EQ(index_frame(info, a).fingerprint, index_frame(info, a).fingerprint);
  EXPECT_NE(index_frame(info, a).fingerprint, index_frame(info, b).fingerprint);
}

TEST(Index, AllKernelsIndexAlike) {
  for (const Mosaic mosaic : kMosaics) {
    const auto info = test::layout(173, 161, mosaic, Sample::u8, 8);
    const std::vector<std::vector<double>> disc{test::draw(disc_of(60.0, 82.3, 77.6), 173, 161)};
    const auto bytes = test::expose(info, disc, {}, Rng(4));
    const FrameIndex plain = FrameIndexer(info, KernelKind::plain)(bytes);
    const FrameIndex fast = FrameIndexer(info)(bytes);
    EXPECT_NEAR(plain.centroid.x, fast.centroid.x, 1e-9);
    EXPECT_NEAR(plain.width_y, fast.width_y, 1e-5);
    EXPECT_NEAR(plain.area, fast.area, 1e-2);
    EXPECT_NEAR(plain.band_power, fast.band_power, 1e-5 * plain.band_power);
    EXPECT_EQ(plain.fingerprint, fast.fingerprint);
  }
}

double correlation(const std::vector<double>& a, const std::vector<double>& b) {
  const auto n = static_cast<double>(a.size());
  const double ma = std::accumulate(a.begin(), a.end(), 0.0) / n, mb = std::accumulate(b.begin(), b.end(), 0.0) / n;
  double ab = 0.0, aa = 0.0, bb = 0.0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    ab += (a[i] - ma) * (b[i] - mb);
    aa += (a[i] - ma) * (a[i] - ma);
    bb += (b[i] - mb) * (b[i] - mb);
  }
  return ab / std::sqrt(aa * bb);
}

// Frames blurred by differing amounts, as noisy as an 8-bit planet run, and of brightness that varies by a third:
// sharpness must follow the blur alone.
TEST(Sharpness, GradesBlurAndNotNoiseOrBrightness) {
  const auto info = test::layout(128, 128, Mosaic::rggb, Sample::u8, 8);
  std::vector<FrameIndex> frames;
  std::vector<double> blur, sharpness, brightness;
  for (std::uint64_t i = 0; i < 80; ++i) {
    Rng rng = Rng(20).child("frame", i);
    DrawnDisc d = disc_of(70.0, 63.0 + rng.normal(), 64.0 + rng.normal());
    d.spots = 0.25;
    d.blur = rng.uniform(1.5, 3.0);
    d.level = 110.0 * rng.uniform(0.8, 1.2);
    const std::vector<std::vector<double>> one{test::draw(d, 128, 128, 2)};
    frames.push_back(index_frame(info, test::expose(info, one, {6.0, 0.6, 1.5, {0.9, 1.0, 0.6}}, rng)));
    blur.push_back(d.blur);
    brightness.push_back(d.level);
  }
  grade_sharpness(frames);
  for (const FrameIndex& f : frames) sharpness.push_back(static_cast<double>(f.sharpness));
  EXPECT_LT(correlation(sharpness, blur), -0.95);
  EXPECT_LT(std::abs(correlation(sharpness, brightness)), 0.3);
}

// The share that noise has is taken off: fainter copies of the same disc are as sharp.
TEST(Sharpness, DoesNotRiseWithNoise) {
  const auto info = test::layout(128, 128, Mosaic::mono, Sample::u16, 16);
  std::vector<double> means;
  for (const double level : {12000.0, 3000.0, 1500.0}) {
    std::vector<FrameIndex> frames;
    const std::vector<std::vector<double>> one{test::draw(disc_of(60.0, 63.0, 64.0, level), 128, 128)};
    for (std::uint64_t i = 0; i < 20; ++i) {
      frames.push_back(index_frame(info, test::expose(info, one, {500.0, 0.01, 60.0, {1, 1, 1}}, Rng(i))));
    }
    grade_sharpness(frames);
    double sum = 0.0;
    for (const FrameIndex& f : frames) sum += static_cast<double>(f.sharpness) / 20.0;
    means.push_back(sum);
  }
  EXPECT_NEAR(means[1] / means[0], 1.0, 0.03);
  EXPECT_NEAR(means[2] / means[0], 1.0, 0.05);
}

TEST(Sharpest, TakesTheBestAndTiesGoToTheEarlier) {
  RecordingIndex index;
  index.frames.resize(5);
  const float grades[] = {0.2F, 0.5F, 0.5F, 0.9F, 0.1F};
  for (std::size_t i = 0; i < 5; ++i) {
    index.frames[i].found = i != 3;
    index.frames[i].sharpness = grades[i];
  }
  EXPECT_EQ(sharpest(index, 2), (std::vector<std::size_t>{1, 2}));
  EXPECT_EQ(sharpest(index, 3), (std::vector<std::size_t>{0, 1, 2}));
  EXPECT_EQ(sharpest(index, 99).size(), 4U);
}

}  // namespace
}  // namespace halfarc
