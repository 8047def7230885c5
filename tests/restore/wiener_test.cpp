#include "halfarc/restore/wiener.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

double soft(double fx, double fy) { return std::exp(-2.0 * std::pow(std::numbers::pi * 0.7, 2) * (fx * fx + fy * fy)); }

Plane<float> scene(int n) {
  Plane<float> p(n, n);
  Rng rng(1);
  for (float& v : p.samples()) v = static_cast<float>(rng.normal());
  Spectrum s = spectrum_of(p);
  for (int ky = 0; ky < n; ++ky) {
    for (int kx = 0; kx < s.values.width(); ++kx) {
      const double f = std::hypot(s.fx(kx), s.fy(ky));
      s.values(kx, ky) *= static_cast<float>(1.0 / (1.0 + std::pow(f / 0.05, 3)));
    }
  }
  s.values(0, 0) += static_cast<float>(100.0 * n * n);
  return picture_of(s);
}

Plane<float> blurred(const Plane<float>& p) {
  Spectrum s = spectrum_of(p);
  for (int ky = 0; ky < s.values.height(); ++ky) {
    for (int kx = 0; kx < s.values.width(); ++kx) s.values(kx, ky) *= static_cast<float>(soft(s.fx(kx), s.fy(ky)));
  }
  return picture_of(s);
}

double rms_difference(const Plane<float>& a, const Plane<float>& b) {
  double sum = 0.0;
  for (std::size_t i = 0; i < a.count(); ++i) sum += std::pow(static_cast<double>(a.samples()[i] - b.samples()[i]), 2);
  return std::sqrt(sum / static_cast<double>(a.count()));
}

TEST(Wiener, WithoutNoiseUndoesTheBlurWhereItIsTrusted) {
  const Plane<float> truth = scene(64);
  const std::vector<double> sure(33, 1e12);
  EXPECT_LT(rms_difference(wiener_filter(blurred(truth), soft, sure, {1.0, 1e-3}), truth),
            0.05 * rms_difference(blurred(truth), truth));
}

TEST(Wiener, TrustsNothingKeepsOnlyTheMean) {
  const Plane<float> truth = scene(64);
  const Plane<float> flat = wiener_filter(truth, soft, std::vector<double>(33, 0.0));
  double mean = 0.0;
  for (const float v : truth.samples()) mean += static_cast<double>(v) / 4096.0;
  for (const float v : flat.samples()) EXPECT_NEAR(v, mean, 1e-3);
}

TEST(Wiener, StrengthZeroOnlyFiltersNoise) {
  const Plane<float> truth = scene(64);
  const std::vector<double> sure(33, 1e12);
  EXPECT_LT(rms_difference(wiener_filter(truth, soft, sure, {0.0, 0.02}), truth), 0.02);
}

// The filter with the measured ratio beats every one-size ratio, because it is the least-square-error filter.
TEST(Wiener, MeasuredSignalToNoiseIsBest) {
  const int n = 128;
  const Plane<float> truth = scene(n);
  Plane<float> data = blurred(truth);
  Rng rng(2);
  const double sigma = 0.05;
  for (float& v : data.samples()) v += static_cast<float>(sigma * rng.normal());
  const Rings rings(n, n);
  const Spectrum s = spectrum_of(truth);
  std::vector<double> snr(static_cast<std::size_t>(rings.count()));
  for (int ky = 0; ky < n; ++ky) {
    for (int kx = 0; kx < s.values.width(); ++kx) {
      snr[static_cast<std::size_t>(rings.ring(kx, ky))] +=
          s.copies(kx) * static_cast<double>(std::norm(s.values(kx, ky))) * std::pow(soft(s.fx(kx), s.fy(ky)), 2);
    }
  }
  for (std::size_t r = 0; r < snr.size(); ++r) snr[r] /= rings.population()[r] * sigma * sigma * n * n;
  const double best = rms_difference(wiener_filter(data, soft, snr, {1.0, 1e-4}), truth);
  for (const double guess : {0.1, 1.0, 10.0, 100.0, 1e4}) {
    EXPECT_LT(best,
              rms_difference(wiener_filter(data, soft, std::vector<double>(snr.size(), guess), {1.0, 1e-4}), truth))
        << guess;
  }
}

TEST(PassedPart, TakesOutWhatTheTelescopeDoesNotPass) {
  Plane<float> picture(64, 48);
  for (int y = 0; y < 48; ++y) {
    for (int x = 0; x < 64; ++x) {
      const double wave = std::cos(2.0 * std::numbers::pi * 8.0 * x / 64.0);
      picture(x, y) = static_cast<float>(10.0 + wave + ((x + y) % 2 == 0 ? 3.0 : -3.0));
    }
  }
  const Plane<float> passed = passed_part(picture, 0.3);
  for (int y = 0; y < 48; ++y) {
    for (int x = 0; x < 64; ++x) {
      const double wave = std::cos(2.0 * std::numbers::pi * 8.0 * x / 64.0);
      EXPECT_NEAR(static_cast<double>(passed(x, y)), 10.0 + wave, 1e-4);
    }
  }
}

}  // namespace
}  // namespace halfarc
