#include "halfarc/measure/seeing.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "halfarc/air/aligned_exposures.h"
#include "halfarc/air/changing_air.h"
#include "halfarc/air/image_motion.h"
#include "halfarc/air/turbulence.h"

namespace halfarc {
namespace {

constexpr double kTableError = 0.012;                 // of the surviving share
constexpr double kLikely = 2.5, kLikelySpread = 1.0;  // D/r0, ln: common practice, seeing of 1 to 3 arcsec
constexpr double kShiftSpread = 0.12;                 // arcsec
constexpr double kModelError = 0.04;                  // of D/r0, between one air and another
constexpr double kShareSpread = 0.2;                  // of the interval, when the exposure is not known
// Simulated planets (tests/measure/seeing_test.cpp) against the table, whose exposures were aligned a little otherwise:
// ln(D/r0) of the fit runs too steep by 7 %, and is right at D/r0 = 3.7.
constexpr double kSteep = 1.07, kRight = 1.31;
// The power of what exposures average out (kAveragedPower) depends on the wind; that is in the error.
constexpr double kAveragedSpread = 0.3;
// tau in units of D / v, from simulated air of one layer; speckles of strong air live shorter.
constexpr double kTauCrossing = 0.24, kTauError = 0.25, kStrong = 3.7, kTauFalls = 0.6;

constexpr double kRuledOut = 1e-5;  // of what the exposures say, by motion

constexpr int kStrengths = 111, kShifts = 41;
double log_strength(int i) { return std::log(0.5) + i * (std::log(10.0) - std::log(0.5)) / (kStrengths - 1); }
double shift_arcsec(int j) { return 0.4 * j / (kShifts - 1); }

// The surviving share of every ring for every strength, and what every shift leaves of it.
struct Model {
  std::array<std::array<double, kSpectrumRings>, kStrengths> air;
  std::array<std::array<double, kSpectrumRings>, kShifts> shift;
};

Model model_of(const ClipOptics& optics) {
  Model m;
  const double cut = cut_off(optics.pupil, optics.wavelength).per_rad();
  for (std::size_t r = 0; r < kSpectrumRings; ++r) {
    const double share = spectrum_share(r);
    for (int i = 0; i < kStrengths; ++i)
      m.air[static_cast<std::size_t>(i)][r] = aligned_spectral_ratio(std::exp(log_strength(i)), share);
    for (int j = 0; j < kShifts; ++j) {
      const double turn = 2.0 * std::numbers::pi * share * cut * Angle::arcsec(shift_arcsec(j)).rad();
      m.shift[static_cast<std::size_t>(j)][r] = std::exp(-turn * turn);
    }
  }
  return m;
}

// How fast the exposures change: tau in intervals, from the correlation of what differs from the mean.
std::optional<double> tau_of(const RingPowers& p, const std::vector<std::size_t>& rings, double exposure) {
  std::array<double, kBurst> differing{};
  for (const std::size_t r : rings) {
    differing[0] += (p.single[r] - p.coherent[r]) / p.single[r];
    for (std::size_t k = 1; k < kBurst; ++k) differing[k] += (p.later[k - 1][r] - p.coherent[r]) / p.single[r];
  }
  return nearest_lifetime(differing, exposure);
}

struct Ratio {
  std::vector<std::size_t> rings;
  std::array<double, kSpectrumRings> value{}, sigma{};
};

// The surviving share, had the exposures been instants.
std::array<double, kSpectrumRings> surviving(const RingPowers& p, double kept) {
  std::array<double, kSpectrumRings> share{};
  for (std::size_t r = 0; r < kSpectrumRings; ++r) {
    const double instant = p.coherent[r] + std::max(0.0, p.single[r] - p.coherent[r]) / kept;
    share[r] = instant > 0.0 ? p.coherent[r] / instant : 0.0;
  }
  return share;
}

Ratio ratio_of(const ExposureSpectra& spectra) {
  Ratio ratio;
  const RingPowers all = spectra.all();
  ratio.value = surviving(all, 1.0);
  std::array<double, kSpectrumRings> square{};
  const auto n = static_cast<double>(kSpectrumGroups);
  for (std::size_t g = 0; g < kSpectrumGroups; ++g) {
    const auto without = surviving(spectra.without(g), 1.0);
    for (std::size_t r = 0; r < kSpectrumRings; ++r) square[r] += std::pow(without[r] - ratio.value[r], 2);
  }
  for (std::size_t r = 0; r < kSpectrumRings; ++r) {
    ratio.sigma[r] = std::hypot(std::sqrt(square[r] * (n - 1.0) / n), kTableError);
    // A ring whose power the noise hides tells nothing, and its ratio is not even nearly normal.
    if (spectra.seen[r] && all.single[r] > 0.0 && ratio.sigma[r] < 0.25) ratio.rings.push_back(r);
  }
  return ratio;
}

struct Fit {
  double log_strength = 0.0, sigma = 0.0;
  double shift = 0.0, shift_sigma = 0.0;  // arcsec
};

// Mean and spread of the posterior on a grid.
Fit fit(const Ratio& ratio, const std::array<double, kSpectrumRings>& value, const Model& model) {
  std::vector<double> cost;
  double least = 1e300;
  for (std::size_t i = 0; i < kStrengths; ++i) {
    const double unlikely = (log_strength(static_cast<int>(i)) - std::log(kLikely)) / kLikelySpread;
    for (std::size_t j = 0; j < kShifts; ++j) {
      double sum = unlikely * unlikely + std::pow(shift_arcsec(static_cast<int>(j)) / kShiftSpread, 2);
      for (const std::size_t r : ratio.rings) {
        const double z = (value[r] - model.air[i][r] * model.shift[j][r]) / ratio.sigma[r];
        sum += 4.0 * std::log1p(z * z / 4.0);  // a ring that is far off counts like one that is off by a little
      }
      cost.push_back(sum);
      least = std::min(least, sum);
    }
  }
  std::array<double, 5> m{};
  for (std::size_t i = 0; i < kStrengths; ++i) {
    const double s = log_strength(static_cast<int>(i));
    for (std::size_t j = 0; j < kShifts; ++j) {
      const double weight = std::exp(-0.5 * (cost[i * kShifts + j] - least)), d = shift_arcsec(static_cast<int>(j));
      m[0] += weight;
      m[1] += weight * s;
      m[2] += weight * s * s;
      m[3] += weight * d;
      m[4] += weight * d * d;
    }
  }
  for (std::size_t k = 1; k < m.size(); ++k) m[k] /= m[0];
  return {m[1], std::sqrt(std::max(0.0, m[2] - m[1] * m[1])), m[3], std::sqrt(std::max(0.0, m[4] - m[3] * m[3]))};
}

struct Answer {
  Fit fit;
  double tau = 0.0;   // intervals; 0: not seen
  double kept = 1.0;  // of the differences between instants, in exposures
};

Answer answer(const RingPowers& powers, const Ratio& ratio, const Model& model, double exposure) {
  Answer a;
  const auto tau = tau_of(powers, ratio.rings, exposure);
  a.tau = tau.value_or(0.0);
  a.kept = tau ? exposures_alike(0.0, exposure / *tau) : 1.0;
  a.fit = fit(ratio, surviving(powers, std::pow(a.kept, kAveragedPower)), model);
  a.fit.log_strength = kRight + (a.fit.log_strength - kRight) / kSteep;
  return a;
}

}  // namespace

std::string_view words(SeeingMethod method) {
  switch (method) {
    case SeeingMethod::exposures:
      return "differences between exposures";
    case SeeingMethod::exposures_and_motion:
      return "differences between exposures, bounded by the motion of the disc";
    case SeeingMethod::star_ring:
      return "blur of a star out of focus";
  }
  return "";
}

Result<Seeing> seeing_of_exposures(const ExposureSpectra& spectra, const ClipOptics& optics, Duration interval,
                                   std::optional<Duration> exposure) {
  const Ratio ratio = ratio_of(spectra);
  if (ratio.rings.size() < 3) return bad_input("too little detail above the noise to tell the air");
  const Model model = model_of(optics);
  const double share = exposure ? std::clamp(*exposure / interval, 0.0, 1.0) : kUsualExposure;
  const RingPowers all = spectra.all();
  const Answer best = answer(all, ratio, model, share);

  double square = 0.0, tau_square = 0.0;
  const auto n = static_cast<double>(kSpectrumGroups);
  for (std::size_t g = 0; g < kSpectrumGroups; ++g) {
    const Answer without = answer(spectra.without(g), ratio, model, share);
    square += std::pow(without.fit.log_strength - best.fit.log_strength, 2) * (n - 1.0) / n;
    if (without.tau > 0.0 && best.tau > 0.0)
      tau_square += std::pow(std::log(without.tau / best.tau), 2) * (n - 1.0) / n;
  }
  if (!exposure) {
    const double shorter = answer(all, ratio, model, share - kShareSpread).fit.log_strength;
    const double longer = answer(all, ratio, model, share + kShareSpread).fit.log_strength;
    square += std::pow(0.5 * (longer - shorter), 2) / 3.0;
  }
  const double instants = fit(ratio, surviving(all, 1.0), model).log_strength;
  const double fully = fit(ratio, surviving(all, best.kept), model).log_strength;
  const double relative = std::hypot(std::sqrt(square), kModelError, kAveragedSpread * (fully - instants));
  const Length r0 = optics.pupil.diameter * std::exp(-best.fit.log_strength);
  Seeing seeing = seeing_of_r0({r0, r0 * relative}, optics.wavelength);
  seeing.method = SeeingMethod::exposures;
  seeing.local_shift = {Angle::arcsec(best.fit.shift), Angle::arcsec(best.fit.shift_sigma)};
  if (best.tau > kNothingShared) {
    const double shorter = std::pow(std::max(1.0, std::exp(best.fit.log_strength) / kStrong), -kTauFalls);
    const Speed wind = Speed::m_per_s(kTauCrossing * shorter * optics.pupil.diameter.m() / (best.tau * interval.s()));
    const Duration time = coherence_time(seeing.r0.value, wind);
    seeing.coherence = {time, time * std::sqrt(tau_square + relative * relative + kTauError * kTauError)};
  }
  return seeing;
}

Seeing seeing_of_r0(Measured<Length> r0, Length wavelength) {
  const double grows = std::pow(kSeeingWavelength / wavelength, 1.2);
  Seeing seeing;
  seeing.r0 = {r0.value * grows, r0.sigma * grows};
  const Angle fwhm = seeing_fwhm({seeing.r0.value}, kSeeingWavelength);
  seeing.fwhm = {fwhm, fwhm * (r0.sigma / r0.value)};
  seeing.method = SeeingMethod::star_ring;
  return seeing;
}

std::optional<Seeing> bounded_by_motion(const Seeing& seeing, const Motion& motion, const ClipOptics& optics) {
  // What the air alone would do, by its mean slope, between the outer scales that are usual; a clip of seconds, whose
  // drift is taken off, sees even less of the largest scales.
  constexpr Length kOuterScales[] = {Length::m(8.0), Length::m(60.0)};
  constexpr Duration kExposure = Duration::ms(10.0);
  constexpr Speed kWind = Speed::m_per_s(8.0);
  std::array<double, 2> least{};
  for (std::size_t i = 0; i < 2; ++i) {
    const Turbulence air{seeing.r0.value, kSeeingWavelength, kOuterScales[i]};
    least[i] = 2.0 * std::log(averaged_motion_rms(air, optics.pupil.diameter, kExposure, kWind).rad());
  }
  const double air = 0.5 * (least[0] + least[1]);
  const double pixel = optics.scale.angle(1.0).rad();
  const double square = 0.5 * (std::pow(motion.rms_x.value, 2) + std::pow(motion.rms_y.value, 2));
  if (!(square > 0.0)) return seeing;
  const double seen = std::log(square * pixel * pixel);
  const double error = std::hypot(motion.rms_x.value * motion.rms_x.sigma, motion.rms_y.value * motion.rms_y.sigma);
  const double sigma = std::hypot(error / square, 0.5 * (least[1] - least[0]));

  // ln(1/r0) is normal as found; a strength whose motion would exceed what was seen is less likely.
  const double spread = seeing.r0.sigma / seeing.r0.value;
  double all = 0.0, weight = 0.0, first = 0.0, second = 0.0;
  for (int i = -80; i <= 80; ++i) {
    const double off = 0.05 * i * spread;
    const double allowed = 0.5 * std::erfc((air + 5.0 / 3.0 * off - seen) / (sigma * std::numbers::sqrt2));
    const double likely = std::exp(-0.5 * std::pow(0.05 * i, 2)), w = likely * allowed;
    all += likely;
    weight += w;
    first += w * off;
    second += w * off * off;
  }
  if (!(weight > kRuledOut * all)) return std::nullopt;
  first /= weight;
  const double narrower = std::sqrt(std::max(0.0, second / weight - first * first));
  if (std::abs(first) < 0.25 * spread) return seeing;  // the bound is far off: nothing to add
  Seeing bounded = seeing;
  bounded.method = SeeingMethod::exposures_and_motion;
  const Length r0 = seeing.r0.value * std::exp(-first);
  // Two findings that contradict each other leave the wider error.
  const double relative = std::max(narrower, std::abs(first));
  bounded.r0 = {r0, r0 * relative};
  const Angle fwhm = seeing.fwhm.value * std::exp(first);
  bounded.fwhm = {fwhm, fwhm * relative};
  return bounded;
}

Seeing at_zenith(const Seeing& seeing, double airmass) {
  const double grows = std::pow(airmass, 0.6);
  Seeing up = seeing;
  up.r0 = {seeing.r0.value * grows, seeing.r0.sigma * grows};
  up.fwhm = {seeing.fwhm.value * (1.0 / grows), seeing.fwhm.sigma * (1.0 / grows)};
  if (up.coherence) up.coherence = {up.coherence->value * grows, up.coherence->sigma * grows};
  return up;
}

}  // namespace halfarc
