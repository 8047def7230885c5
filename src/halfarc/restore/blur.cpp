#include "halfarc/restore/blur.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "halfarc/air/aligned_exposures.h"
#include "halfarc/restore/accumulate.h"

namespace halfarc {
namespace {

constexpr double kUsualDOverR0 = 2.5, kUsualSpread = 0.7;  // ln; common practice
constexpr double kMostShift = 2.5;                         // pixels
constexpr double kFirst = 0.08, kLast = 0.75;              // of the cut-off: where the ratio is looked at

// Of what an exposure ought to average out this power is put back. More than kAveragedPower of a clip's reading
// (air/changing_air.h), for here frames that may have seen the same air are not compared. From simulated air of two
// layers at three strengths: D/r0 of exposures of 7 ms is right to 2 % (accuracy/image_error.cpp).
constexpr double kPutBack = 0.85;

struct Ratio {
  std::vector<double> x;  // frequency / cut-off
  std::vector<double> f;  // cycles per pixel
  std::vector<double> value;
  std::vector<double> sigma;
};

// What exposures kept of the differences between instants; 1 where neighbours say nothing.
double kept_by_exposures(const SiteSums::RingPowers& rings, const std::vector<std::size_t>& which, double exposure) {
  std::vector<double> differing(1 + kNeighbours);
  for (const std::size_t r : which) {
    if (!(rings.mean[r] > 0.0)) continue;
    differing[0] += 1.0 - rings.coherent[r] / rings.mean[r];
    for (std::size_t k = 0; k < kNeighbours; ++k) {
      if (rings.later[k].empty()) return 1.0;
      differing[k + 1] += (rings.later[k][r] - rings.coherent[r]) / rings.mean[r];
    }
  }
  const auto lifetime = lifetime_of_differences(differing, exposure);
  return lifetime ? std::pow(exposures_alike(0.0, exposure / *lifetime), kPutBack) : 1.0;
}

// Coherent over mean power, had the exposures been instants.
std::vector<double> ratios(const SiteSums::RingPowers& rings, const std::vector<std::size_t>& which, double exposure) {
  const double kept = kept_by_exposures(rings, which, exposure);
  std::vector<double> result;
  for (const std::size_t r : which) {
    const double instant = rings.coherent[r] + (rings.mean[r] - rings.coherent[r]) / kept;
    result.push_back(instant > 0.0 ? rings.coherent[r] / instant : 0.0);
  }
  return result;
}

// The ratio of all groups together, with errors from leaving each group out in turn (jackknife).
Ratio measured_ratio(std::span<const SiteSums> groups, double cut, double exposure) {
  const SiteSums::RingPowers rings = sum_of_turns(groups).rings();
  std::vector<std::size_t> which;
  for (std::size_t r = 1; r < rings.frequency.size(); ++r) {
    const double x = rings.frequency[r] / cut;
    // Beyond a quarter cycle per pixel the half-resolution pictures fold finer detail back.
    if (x >= kFirst && x <= kLast && rings.frequency[r] < 0.22 && rings.mean[r] > 0.0) which.push_back(r);
  }
  Ratio result;
  result.value = ratios(rings, which, exposure);
  std::vector<double> square(which.size());
  const double n = static_cast<double>(groups.size());
  for (std::size_t g = 0; g < groups.size(); ++g) {
    const std::vector<double> without = ratios(sum_of_turns(groups, g).rings(), which, exposure);
    for (std::size_t i = 0; i < which.size(); ++i) square[i] += std::pow(without[i] - result.value[i], 2);
  }
  for (std::size_t i = 0; i < which.size(); ++i) {
    result.f.push_back(rings.frequency[which[i]]);
    result.x.push_back(rings.frequency[which[i]] / cut);
    // The floor keeps a lucky ring from ruling the fit; the table itself is good to about 0.01.
    result.sigma.push_back(std::hypot(std::sqrt(square[i] * (n - 1.0) / n), 0.015));
  }
  return result;
}

double power_left_by_shifts(double f, double rms) { return std::exp(-std::pow(2.0 * std::numbers::pi * f * rms, 2)); }

double badness(const Ratio& ratio, Measured<double> usual_shift, double log_strength, double shift) {
  const double strength = std::exp(log_strength);
  double sum =
      std::pow((log_strength - std::log(kUsualDOverR0)) / kUsualSpread, 2) + std::pow((shift - usual_shift.value) / usual_shift.sigma, 2);
  for (std::size_t i = 0; i < ratio.x.size(); ++i) {
    const double model = aligned_spectral_ratio(strength, ratio.x[i]) * power_left_by_shifts(ratio.f[i], shift);
    const double z = (ratio.value[i] - model) / ratio.sigma[i];
    // A ring that is off by many sigma counts like one that is off by a few (Cauchy): rings hold few Fourier values.
    sum += 4.0 * std::log1p(z * z / 4.0);
  }
  return sum;
}

}  // namespace

double cut_off_per_px(const Aperture& aperture, Length wavelength) {
  return aperture.scale.angle(1.0).rad() * cut_off(aperture.pupil, wavelength).per_rad();
}

AirBlur measure_blur(std::span<const SiteSums> groups, const Aperture& aperture, Length wavelength, double exposure,
                     Measured<double> local_shift) {
  AirBlur blur;
  blur.wavelength = wavelength;
  const Ratio ratio = measured_ratio(groups, cut_off_per_px(aperture, wavelength), exposure);

  // The posterior of both numbers on a grid: its mean and its spread are the answer and its error.
  constexpr int kStrengths = 121, kShifts = 51;
  std::vector<double> cost;
  double least = 1e300;
  const auto log_strength = [](int i) {
    return std::log(0.4) + i * (std::log(12.0) - std::log(0.4)) / (kStrengths - 1);
  };
  const auto shift = [](int j) { return j * kMostShift / (kShifts - 1); };
  for (int i = 0; i < kStrengths; ++i) {
    for (int j = 0; j < kShifts; ++j) {
      cost.push_back(badness(ratio, local_shift, log_strength(i), shift(j)));
      least = std::min(least, cost.back());
    }
  }
  std::array<double, 5> moments{};  // weight, ln s, (ln s)^2, shift, shift^2
  for (int i = 0; i < kStrengths; ++i) {
    for (int j = 0; j < kShifts; ++j) {
      const double weight = std::exp(-0.5 * (cost[static_cast<std::size_t>(i * kShifts + j)] - least));
      moments[0] += weight;
      moments[1] += weight * log_strength(i);
      moments[2] += weight * std::pow(log_strength(i), 2);
      moments[3] += weight * shift(j);
      moments[4] += weight * std::pow(shift(j), 2);
    }
  }
  for (std::size_t k = 1; k < moments.size(); ++k) moments[k] /= moments[0];
  const double log_sigma = std::sqrt(std::max(0.0, moments[2] - moments[1] * moments[1]));
  blur.d_over_r0 = {std::exp(moments[1]), std::exp(moments[1]) * log_sigma};
  blur.local_shift = {moments[3], std::sqrt(std::max(0.0, moments[4] - moments[3] * moments[3]))};
  blur.measured = log_sigma < 0.5 * kUsualSpread;
  return blur;
}

Transfer mean_transfer(const AirBlur& blur, const Aperture& aperture, Length wavelength) {
  const double strength = blur.d_over_r0.value * std::pow(blur.wavelength / wavelength, 1.2);
  const double cut = cut_off_per_px(aperture, wavelength);
  const double shift = blur.local_shift.value;
  const double kept = blur.kept;
  const double smear = blur.smear;
  return [=](double fx, double fy) {
    const double f = std::hypot(fx, fy);
    return aligned_mean_transfer(strength, f / cut, kept) *
           std::sqrt(power_left_by_shifts(f, shift) * power_left_by_shifts(f, smear)) * sharing_transfer(fx, fy);
  };
}

}  // namespace halfarc
