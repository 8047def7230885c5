#include "halfarc/restore/halves.h"

#include <algorithm>
#include <cmath>

namespace halfarc {
namespace {

Plane<float> masked(View<const float> picture, View<const float> mask) {
  double sum = 0.0;
  double weight = 0.0;
  for (int y = 0; y < picture.height(); ++y) {
    for (int x = 0; x < picture.width(); ++x) {
      sum += static_cast<double>(mask(x, y)) * static_cast<double>(picture(x, y));
      weight += static_cast<double>(mask(x, y));
    }
  }
  const float mean = weight > 0.0 ? static_cast<float>(sum / weight) : 0.0F;
  Plane<float> out(picture.width(), picture.height());
  for (int y = 0; y < picture.height(); ++y) {
    for (int x = 0; x < picture.width(); ++x) out(x, y) = mask(x, y) * (picture(x, y) - mean);
  }
  return out;
}

constexpr double kLeastCorrelation = 1e-4;
constexpr double kNotAllAlike = 0.05;  // of a frequency: parts of a scene end at different ones (accuracy suite)
constexpr std::ptrdiff_t kPooled = 2;  // rings on either side

// Where the correlation, taken `sigmas` standard errors higher than it was measured, falls below the threshold for
// good.
double crossing(const RingCorrelation& rings, double from, double sigmas) {
  const std::size_t count = rings.frequency.size();
  const auto excess = [&](std::size_t r) {
    const double frc = rings.correlation[r];
    return frc + sigmas * (1.0 - frc * frc) / std::sqrt(2.0 * rings.independent[r]) - rings.threshold[r];
  };
  const auto below = [&](std::size_t r) { return r >= count || excess(r) < 0.0; };
  for (std::size_t r = 1; r < count; ++r) {
    if (rings.frequency[r] < from || !below(r) || !below(r + 1) || !below(r + 2)) continue;
    const double before = excess(r - 1);
    const double part = before > 0.0 ? before / (before - excess(r)) : 0.0;
    return std::max(from, rings.frequency[r - 1] + part * (rings.frequency[r] - rings.frequency[r - 1]));
  }
  return count == 0 ? from : rings.frequency.back();
}

// The correlation about ring r, weighted over five rings; ring 0 holds only the mean brightness and is left out.
double smoothed(const std::vector<double>& correlation, std::size_t r) {
  constexpr double kernel[5] = {0.1, 0.2, 0.4, 0.2, 0.1};
  double sum = 0.0;
  double weight = 0.0;
  for (int k = -2; k <= 2; ++k) {
    const std::ptrdiff_t at = static_cast<std::ptrdiff_t>(r) + k;
    if (at < 1 || at >= static_cast<std::ptrdiff_t>(correlation.size())) continue;
    sum += kernel[k + 2] * correlation[static_cast<std::size_t>(at)];
    weight += kernel[k + 2];
  }
  return weight > 0.0 ? sum / weight : 0.0;
}

// The part of the picture's area that the mask really uses: a tapered mask ties neighbouring Fourier values together.
double independent_fraction(View<const float> mask) {
  double sum2 = 0.0;
  double sum4 = 0.0;
  for (int y = 0; y < mask.height(); ++y) {
    for (int x = 0; x < mask.width(); ++x) {
      const double m2 = static_cast<double>(mask(x, y)) * static_cast<double>(mask(x, y));
      sum2 += m2;
      sum4 += m2 * m2;
    }
  }
  const double area = static_cast<double>(mask.width()) * mask.height();
  return sum4 > 0.0 ? std::min(1.0, sum2 * sum2 / sum4 / area) : 1.0;
}

}  // namespace

double half_bit_threshold(double n) { return (0.2071 + 1.9102 / std::sqrt(n)) / (1.2071 + 0.9102 / std::sqrt(n)); }

double one_bit_threshold(double n) { return (0.5 + 2.4142 / std::sqrt(n)) / (1.5 + 1.4142 / std::sqrt(n)); }

double correlation_with_truth(double frc) { return frc > 0.0 ? std::sqrt(2.0 * frc / (1.0 + frc)) : 0.0; }

RingCorrelation pooled_for_claim(const RingCorrelation& rings) {
  RingCorrelation pooled = rings;
  const std::ptrdiff_t count = static_cast<std::ptrdiff_t>(rings.frequency.size());
  for (std::ptrdiff_t r = 1; r < count; ++r) {
    double sum = 0.0, independent = 0.0;
    const std::ptrdiff_t last = std::min(r + kPooled, count - 1);
    for (std::ptrdiff_t k = std::max<std::ptrdiff_t>(1, r - kPooled); k <= last; ++k) {
      const std::size_t i = static_cast<std::size_t>(k);
      sum += rings.independent[i] * rings.correlation[i];
      independent += rings.independent[i];
    }
    const std::size_t at = static_cast<std::size_t>(r);
    pooled.correlation[at] = sum / independent;
    pooled.independent[at] = independent;
    pooled.threshold[at] = std::max(kHalfTrue, 2.0 / std::sqrt(2.0 * independent));
  }
  return pooled;
}

RingCorrelation ring_correlation(View<const float> a, View<const float> b, View<const float> mask) {
  const Spectrum fa = spectrum_of(masked(a, mask));
  const Spectrum fb = spectrum_of(masked(b, mask));
  const Rings rings(a.width(), a.height());
  const std::size_t count = static_cast<std::size_t>(rings.count());
  std::vector<double> cross(count), power_a(count), power_b(count);
  for (int ky = 0; ky < fa.values.height(); ++ky) {
    for (int kx = 0; kx < fa.values.width(); ++kx) {
      const std::size_t r = static_cast<std::size_t>(rings.ring(kx, ky));
      const std::complex<double> va = fa.values(kx, ky);
      const std::complex<double> vb = fb.values(kx, ky);
      const double copies = fa.copies(kx);
      cross[r] += copies * (va.real() * vb.real() + va.imag() * vb.imag());
      power_a[r] += copies * std::norm(va);
      power_b[r] += copies * std::norm(vb);
    }
  }
  RingCorrelation result;
  // A value and its mirror image are one independent value.
  const double independent = 0.5 * independent_fraction(mask);
  for (std::size_t r = 0; r < count; ++r) {
    const double both = std::sqrt(power_a[r] * power_b[r]);
    result.frequency.push_back(rings.frequency(static_cast<int>(r)));
    result.correlation.push_back(both > 0.0 ? cross[r] / both : 0.0);
    result.independent.push_back(std::max(1.0, independent * rings.population()[r]));
    result.threshold.push_back(half_bit_threshold(result.independent.back()));
  }
  return result;
}

Measured<double> resolved_frequency(const RingCorrelation& rings, double from) {
  const double found = crossing(rings, from, 0.0);
  const double late = crossing(rings, from, 1.0);
  const double early = crossing(rings, from, -1.0);
  const double step = rings.frequency.size() > 1 ? rings.frequency[1] : 0.0;
  const bool never = rings.frequency.empty() || found >= rings.frequency.back();
  return {found, never ? 0.0 : std::max(0.5 * (late - early), 0.5 * step)};
}

Measured<double> fitted_crossing(const RingCorrelation& rings, double level, Measured<double> near) {
  constexpr int kRounds = 20;
  constexpr std::size_t kLeastRings = 5;
  const double wanted = std::log(level / (1.0 - level));
  std::vector<std::size_t> looked_at;
  for (std::size_t r = 1; r < rings.frequency.size(); ++r) {
    if (std::abs(rings.frequency[r] / near.value - 1.0) < 0.3) looked_at.push_back(r);
  }
  if (!(near.value > 0.0) || looked_at.size() < kLeastRings) return near;
  // logit = height - fall (f - near); the error of a correlation is (1 - c^2) / sqrt(2 n), c as the model has it.
  double height = wanted, fall = 8.0 / near.value;
  double hh = 0.0, hf = 0.0, ff = 0.0, misfit = 0.0;
  for (int round = 0; round < kRounds; ++round) {
    double hy = 0.0, fy = 0.0;
    hh = hf = ff = misfit = 0.0;
    for (const std::size_t r : looked_at) {
      const double away = rings.frequency[r] - near.value;
      const double model = 1.0 / (1.0 + std::exp(fall * away - height));
      const double weight = 2.0 * rings.independent[r] / std::pow(1.0 - model * model, 2);
      const double by_height = model * (1.0 - model), by_fall = -by_height * away;
      const double left = rings.correlation[r] - model;
      hh += weight * by_height * by_height;
      hf += weight * by_height * by_fall;
      ff += weight * by_fall * by_fall;
      hy += weight * by_height * left;
      fy += weight * by_fall * left;
      misfit += weight * left * left;
    }
    const double determinant = hh * ff - hf * hf;
    if (!(determinant > 1e-12 * hh * ff)) return near;
    height += std::clamp((hy * ff - fy * hf) / determinant, -1.0, 1.0);
    fall += std::clamp((fy * hh - hy * hf) / determinant, -0.5 * fall, fall);
  }
  const double found = near.value + (height - wanted) / fall;
  if (!(fall > 0.0) || std::abs(found / near.value - 1.0) > 0.3) return near;
  // Error of (height - wanted) / fall from the inverse of the normal matrix.
  const double determinant = hh * ff - hf * hf;
  const double d_height = 1.0 / fall, d_fall = -(height - wanted) / (fall * fall);
  const double variance =
      (d_height * d_height * ff - 2.0 * d_height * d_fall * hf + d_fall * d_fall * hh) / determinant;
  const double scatter = misfit / static_cast<double>(looked_at.size() - 2);
  return {found, std::hypot(std::sqrt(variance * std::max(1.0, scatter)), kNotAllAlike * found)};
}

std::vector<double> signal_to_noise(const RingCorrelation& rings, double resolved, double from) {
  const std::size_t count = rings.correlation.size();
  std::vector<double> snr(count, 0.0);
  std::size_t first = 0;
  while (first + 1 < count && rings.frequency[first] < from) ++first;
  std::size_t last = 0;
  double least = 1e12;
  for (std::size_t r = 0; r < count && rings.frequency[r] <= resolved; ++r) {
    const std::size_t at = std::max(r, first);
    const double frc = std::clamp(smoothed(rings.correlation, at), kLeastCorrelation, 1.0 - 1e-9);
    least = std::min(least, 2.0 * frc / (1.0 - frc));
    snr[r] = least;
    last = r;
  }
  // Straight line through ln SNR over the upper half of the resolved range, weights all equal.
  double n = 0.0, sum_f = 0.0, sum_l = 0.0, sum_ff = 0.0, sum_fl = 0.0;
  for (std::size_t r = (last + 1) / 2; r <= last && last < count; ++r) {
    const double f = rings.frequency[r];
    const double l = std::log(snr[r]);
    n += 1.0;
    sum_f += f;
    sum_l += l;
    sum_ff += f * f;
    sum_fl += f * l;
  }
  const double spread = n * sum_ff - sum_f * sum_f;
  const double slope = spread > 0.0 ? std::min(0.0, (n * sum_fl - sum_f * sum_l) / spread) : 0.0;
  if (slope == 0.0) return snr;
  for (std::size_t r = last + 1; r < count; ++r) {
    snr[r] = snr[last] * std::exp(slope * (rings.frequency[r] - rings.frequency[last]));
  }
  return snr;
}

}  // namespace halfarc
