#include "halfarc/measure/focus_spectrum.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "../support/memory_recording.h"
#include "halfarc/base/random.h"

namespace halfarc {
namespace {

constexpr int kSize = 96;
constexpr double kScale = 0.1753;

// A round blob with a finer one on it, each blurred by `blur` pixels more, moved a little from frame to frame.
testing::MemoryRecording blobs(double blur, double noise, std::size_t frames, std::uint64_t seed) {
  RecordingInfo info;
  info.width = info.height = kSize;
  info.sample = Sample::u16;
  info.bits = 12;
  info.frames = frames;
  Rng rng(seed);
  std::vector<std::byte> bytes(frames * kSize * kSize * 2);
  auto* samples = reinterpret_cast<std::uint16_t*>(bytes.data());
  const auto gaussian = [blur](double r2, double sigma, double light) {
    const double s2 = sigma * sigma + blur * blur;
    return light / (2.0 * std::numbers::pi * s2) * std::exp(-0.5 * r2 / s2);
  };
  for (std::size_t f = 0; f < frames; ++f) {
    const double x0 = 47.0 + rng.normal(), y0 = 48.0 + rng.normal();
    for (int y = 0; y < kSize; ++y) {
      for (int x = 0; x < kSize; ++x) {
        const double r2 = std::pow(x - x0, 2) + std::pow(y - y0, 2);
        const double light = gaussian(r2, 9.0, 4e5) + gaussian(r2, 1.2, 4e3);
        *samples++ = static_cast<std::uint16_t>(std::clamp(100.0 + light + noise * rng.normal(), 0.0, 4095.0));
      }
    }
  }
  return {std::move(info), std::move(bytes)};
}

FocusSpectrum spectrum_of_clip(const testing::MemoryRecording& clip) {
  Silent progress;
  const auto index = index_recording(clip, {}, progress);
  const ClipOptics optics{Pupil{Length::mm(203.0), 0.34}, Length::nm(540.0), PlateScale::arcsec_per_px(kScale)};
  return focus_spectrum(clip, *index, optics, kSize).value();
}

// What one clip has more than the other is the blur, whatever the target.
TEST(FocusSpectrum, RatioOfTwoClipsIsTheirBlur) {
  const auto sharp = spectrum_of_clip(blobs(0.0, 3.0, 120, 1)), soft = spectrum_of_clip(blobs(1.0, 3.0, 120, 2));
  const double cut_off_per_px = cut_off(Pupil{Length::mm(203.0), 0.34}, Length::nm(540.0)).per_arcsec() * kScale;
  int compared = 0;
  for (std::size_t b = 2; b < kFocusRings; ++b) {
    if (!std::isfinite(sharp.sigma[b]) || !std::isfinite(soft.sigma[b])) continue;
    const double f = ring_share(b) * cut_off_per_px;
    const double expected = -2.0 * std::pow(std::numbers::pi * f, 2);
    const double error = std::hypot(sharp.sigma[b], soft.sigma[b]) + 0.05 * std::abs(expected);
    EXPECT_NEAR(soft.amplitude[b] - sharp.amplitude[b], expected, 4.0 * error) << "ring " << b;
    ++compared;
  }
  EXPECT_GE(compared, 4);
  EXPECT_EQ(sharp.frames, 108U);  // nine tenths
}

// Noise alone is not taken for detail.
TEST(FocusSpectrum, RingsWithoutDetailSayNothing) {
  const auto noisy = spectrum_of_clip(blobs(3.0, 60.0, 60, 3));
  int shown = 0;
  for (std::size_t b = 7; b < kFocusRings; ++b) shown += std::isfinite(noisy.sigma[b]) ? 1 : 0;
  EXPECT_LE(shown, 1);
}

TEST(FocusSpectrum, NeedsFrames) {
  const auto clip = blobs(0.0, 3.0, 6, 4);
  Silent progress;
  const auto index = index_recording(clip, {}, progress);
  EXPECT_FALSE(focus_spectrum(clip, *index, {}, kSize));
}

}  // namespace
}  // namespace halfarc
