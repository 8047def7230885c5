#include "halfarc/restore/accumulate.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdint>
#include <numbers>
#include <vector>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

RecordingInfo layout(int width, int height, Mosaic mosaic) {
  RecordingInfo info;
  info.width = width;
  info.height = height;
  info.mosaic = mosaic;
  return info;
}

std::span<const std::byte> bytes(const std::vector<std::uint8_t>& samples) { return std::as_bytes(std::span(samples)); }

TEST(Accumulator, OneBrightPixelLandsWhereItFell) {
  for (const Mosaic m : {Mosaic::mono, Mosaic::rggb, Mosaic::grbg, Mosaic::gbrg, Mosaic::bggr}) {
    for (const auto& [w, h] : {std::pair{16, 12}, std::pair{17, 13}}) {
      const RecordingInfo info = layout(w, h, m);
      std::vector<std::uint8_t> frame(info.samples_per_frame());
      frame[static_cast<std::size_t>(7 * w + 6)] = 200;
      const std::size_t c = static_cast<std::size_t>(is_bayer(m) ? colour_at(m, 6, 7) : Colour::green);
      Accumulator sum(info, {0, 0, w & ~1, h & ~1});
      sum.add(info, bytes(frame), {2.0, -1.0});  // the frame is shifted right by 2 and up by 1
      const Accumulator::Mean mean = sum.mean();
      EXPECT_FLOAT_EQ(mean.planes[c](4, 8), 200.0F) << name(m);
    }
  }
}

TEST(Accumulator, SharesBetweenFourNeighboursWithoutLoss) {
  const RecordingInfo info = layout(8, 8, Mosaic::mono);
  std::vector<std::uint8_t> frame(64);
  frame[3 * 8 + 4] = 100;
  Accumulator sum(info, {0, 0, 8, 8});
  sum.add(info, bytes(frame), {-0.25, 0.5});  // lands at (4.25, 2.5)
  const Plane<float> p = std::move(sum.mean().planes[1]);
  EXPECT_NEAR(p(4, 2), 37.5, 1e-4);
  EXPECT_NEAR(p(5, 2), 12.5, 1e-4);
  EXPECT_NEAR(p(4, 3), 37.5, 1e-4);
  EXPECT_NEAR(p(5, 3), 12.5, 1e-4);
}

TEST(Accumulator, AFlatSceneStaysFlatInEveryColour) {
  const RecordingInfo info = layout(40, 30, Mosaic::gbrg);
  std::vector<std::uint8_t> frame(info.samples_per_frame());
  for (int y = 0; y < 30; ++y) {
    for (int x = 0; x < 40; ++x) {
      frame[static_cast<std::size_t>(40 * y + x)] =
          static_cast<std::uint8_t>(50 + 40 * static_cast<int>(colour_at(Mosaic::gbrg, x, y)));
    }
  }
  Accumulator sum(info, {4, 6, 20, 16});
  Rng rng(1);
  for (int i = 0; i < 30; ++i) sum.add(info, bytes(frame), {3.0 * rng.normal(), 3.0 * rng.normal()});
  const Accumulator::Mean mean = sum.mean();
  EXPECT_EQ(mean.uncovered, 0U);
  for (std::size_t c = 0; c < 3; ++c) {
    for (const float v : mean.planes[c].samples()) EXPECT_NEAR(v, 50.0F + 40.0F * static_cast<float>(c), 1e-3F);
  }
}

TEST(Accumulator, UncoveredPointsAreFilledAndCounted) {
  const RecordingInfo info = layout(8, 8, Mosaic::rggb);
  const std::vector<std::uint8_t> frame(64, 80);
  Accumulator sum(info, {0, 0, 8, 8});
  sum.add(info, bytes(frame), {0.0, 0.0});
  const Accumulator::Mean mean = sum.mean();
  EXPECT_EQ(mean.uncovered, 48U + 32U + 48U);
  for (const float v : mean.planes[0].samples()) EXPECT_FLOAT_EQ(v, 80.0F);
}

TEST(Accumulator, JoiningPartsEqualsAddingAll) {
  const RecordingInfo info = layout(24, 24, Mosaic::bggr);
  Rng rng(3);
  Accumulator whole(info, {0, 0, 24, 24}), first(info, {0, 0, 24, 24}), second(info, {0, 0, 24, 24});
  for (int i = 0; i < 20; ++i) {
    std::vector<std::uint8_t> frame(info.samples_per_frame());
    for (std::uint8_t& v : frame) v = static_cast<std::uint8_t>(rng.bits32() & 0xff);
    const PixelOffset shift = {rng.normal(), rng.normal()};
    whole.add(info, bytes(frame), shift);
    (i < 10 ? first : second).add(info, bytes(frame), shift);
  }
  first.join(second);
  const Accumulator::Mean a = whole.mean();
  const Accumulator::Mean b = first.mean();
  for (std::size_t c = 0; c < 3; ++c) {
    for (std::size_t i = 0; i < a.planes[c].count(); ++i)
      EXPECT_NEAR(a.planes[c].samples()[i], b.planes[c].samples()[i], 1e-3F);
  }
}

TEST(Accumulator, InterleavedColoursGoToTheirPlanes) {
  const RecordingInfo info = layout(6, 4, Mosaic::rgb);
  std::vector<std::uint8_t> frame(72);
  for (std::size_t i = 0; i < 24; ++i) {
    frame[3 * i] = 10;
    frame[3 * i + 1] = 20;
    frame[3 * i + 2] = 30;
  }
  Accumulator sum(info, {0, 0, 6, 4});
  sum.add(info, bytes(frame), {0.0, 0.0});
  const Accumulator::Mean mean = sum.mean();
  EXPECT_FLOAT_EQ(mean.planes[0](3, 2), 10.0F);
  EXPECT_FLOAT_EQ(mean.planes[1](3, 2), 20.0F);
  EXPECT_FLOAT_EQ(mean.planes[2](3, 2), 30.0F);
}

// A wave seen at evenly spread shifts comes back with the contrast that sharing_transfer() says.
TEST(SharingTransfer, IsWhatAWaveLoses) {
  const RecordingInfo info = layout(64, 8, Mosaic::mono);
  for (const double f : {4.0 / 64, 10.0 / 64, 16.0 / 64}) {
    Accumulator sum(info, {0, 0, 64, 8});
    for (int i = 0; i < 64; ++i) {
      const double shift = i / 16.0 - 2.0;
      std::vector<std::uint8_t> frame(512);
      for (int y = 0; y < 8; ++y) {
        for (int x = 0; x < 64; ++x) {
          const double v = 128.0 + 100.0 * std::cos(2.0 * std::numbers::pi * f * (x - shift));
          frame[static_cast<std::size_t>(64 * y + x)] = static_cast<std::uint8_t>(std::lround(v));
        }
      }
      sum.add(info, bytes(frame), {shift, 0.0});
    }
    const Plane<float> p = std::move(sum.mean().planes[1]);
    double amplitude = 0.0;
    for (int x = 8; x < 56; ++x)
      amplitude += (static_cast<double>(p(x, 4)) - 128.0) * std::cos(2.0 * std::numbers::pi * f * x) / 24.0;
    EXPECT_NEAR(amplitude / 100.0, sharing_transfer(f, 0.0), 0.01) << f;
  }
}

TEST(Accumulator, AFieldThatIsTheSameEverywhereIsAShift) {
  Rng rng(8);
  for (const Mosaic m : {Mosaic::mono, Mosaic::rggb, Mosaic::rgb}) {
    const RecordingInfo info = layout(40, 36, m);
    std::vector<std::uint8_t> frame(info.samples_per_frame());
    for (auto& v : frame) v = static_cast<std::uint8_t>(rng.uniform(0.0, 255.0));
    ShiftField field{16, Plane<float>(4, 4), Plane<float>(4, 4)};
    for (float& v : field.x.samples()) v = 0.75F;
    for (float& v : field.y.samples()) v = -0.5F;
    Accumulator by_field(info, {4, 4, 30, 26}), by_shift(info, {4, 4, 30, 26});
    by_field.add(info, bytes(frame), {1.5, 2.0}, field);
    by_shift.add(info, bytes(frame), {2.25, 1.5});
    const Accumulator::Mean a = by_field.mean(), b = by_shift.mean();
    for (std::size_t c = 0; c < 3; ++c) {
      for (std::size_t i = 0; i < b.planes[c].count(); ++i) {
        ASSERT_NEAR(static_cast<double>(a.planes[c].samples()[i]), static_cast<double>(b.planes[c].samples()[i]), 1e-2)
            << name(m) << " " << c << " " << i;
      }
    }
  }
}

TEST(Accumulator, PartsComeBackToWhereTheyBelong) {
  // A ramp down the frame; its right side was carried down by a pixel.
  const RecordingInfo info = layout(64, 40, Mosaic::mono);
  ShiftField field{16, Plane<float>(5, 4), Plane<float>(5, 4)};
  std::vector<std::uint8_t> frame(info.samples_per_frame());
  for (int y = 0; y < 4; ++y) {
    for (int x = 0; x < 5; ++x) field.y(x, y) = 0.25F * static_cast<float>(x);
  }
  for (int y = 0; y < info.height; ++y) {
    for (int x = 0; x < info.width; ++x) {
      const double down = std::min(1.0, x / 64.0);
      frame[static_cast<std::size_t>(y * info.width + x)] = static_cast<std::uint8_t>(std::lround(4.0 * (y - down)) + 8);
    }
  }
  Accumulator sum(info, {0, 0, 64, 40});
  sum.add(info, bytes(frame), {}, field);
  const Accumulator::Mean mean = sum.mean();
  for (int y = 4; y < 36; ++y) {
    for (int x = 2; x < 62; ++x) EXPECT_NEAR(static_cast<double>(mean.planes[1](x, y)), 4.0 * y + 8.0, 0.8);
  }
}

}  // namespace
}  // namespace halfarc
