#include "halfarc/restore/luminance.h"

#include <gtest/gtest.h>

#include <cstdint>
#include <vector>

namespace halfarc {
namespace {

// A flat coloured scene has no pattern left, whichever the mosaic and wherever the window begins.
TEST(Luminance, TheColourPatternVanishes) {
  for (const Mosaic m : {Mosaic::rggb, Mosaic::grbg, Mosaic::gbrg, Mosaic::bggr}) {
    RecordingInfo info;
    info.width = 20;
    info.height = 14;
    info.mosaic = m;
    info.sample = Sample::u16;
    std::vector<std::uint16_t> frame(info.samples_per_frame());
    for (int y = 0; y < 14; ++y) {
      for (int x = 0; x < 20; ++x) {
        const std::uint16_t level[] = {400, 100, 900};
        frame[static_cast<std::size_t>(20 * y + x)] = level[static_cast<std::size_t>(colour_at(m, x, y))];
      }
    }
    Plane<float> grey(8, 6);
    luminance(info, std::as_bytes(std::span(frame)), {4, 2, 8, 6}, grey);
    for (const float v : grey.samples()) EXPECT_FLOAT_EQ(v, 0.25F * 400 + 0.5F * 100 + 0.25F * 900) << name(m);
  }
}

TEST(Luminance, OneBrightPixelStaysCentred) {
  for (const auto& [w, h] : {std::pair{10, 8}, std::pair{11, 9}}) {
    RecordingInfo info;
    info.width = w;
    info.height = h;
    std::vector<std::uint8_t> frame(info.samples_per_frame());
    frame[static_cast<std::size_t>(4 * w + 5)] = 160;
    Plane<float> grey(w, h);
    luminance(info, std::as_bytes(std::span(frame)), {0, 0, w, h}, grey);
    EXPECT_FLOAT_EQ(grey(5, 4), 40.0F);
    EXPECT_FLOAT_EQ(grey(4, 4), 20.0F);
    EXPECT_FLOAT_EQ(grey(6, 4), 20.0F);
    EXPECT_FLOAT_EQ(grey(5, 3), 20.0F);
    EXPECT_FLOAT_EQ(grey(6, 5), 10.0F);
    EXPECT_FLOAT_EQ(grey(7, 4), 0.0F);
  }
}

TEST(Luminance, InterleavedColoursAreWeightedAlike) {
  RecordingInfo info;
  info.width = 4;
  info.height = 4;
  info.mosaic = Mosaic::rgb;
  info.sample = Sample::f32;
  std::vector<float> frame(48);
  for (std::size_t i = 0; i < 16; ++i) {
    frame[3 * i] = 8.0F;
    frame[3 * i + 1] = 2.0F;
    frame[3 * i + 2] = 4.0F;
  }
  Plane<float> grey(4, 4);
  luminance(info, std::as_bytes(std::span(frame)), {0, 0, 4, 4}, grey);
  for (const float v : grey.samples()) EXPECT_FLOAT_EQ(v, 4.0F);
}

}  // namespace
}  // namespace halfarc
