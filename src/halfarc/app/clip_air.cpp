#include "halfarc/app/clip_air.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "halfarc/air/image_motion.h"

namespace halfarc {
namespace {

// Airmass: lower down a line of sight says little of the air overhead (common practice).
constexpr double kLowest = 3.0;
constexpr double kWorthSaying = 0.03;  // arcsec of smear that half the exposure would take away

std::string with_error(double value, double sigma) {
  const int decimals = sigma > 0.0 ? std::clamp(1 - static_cast<int>(std::floor(std::log10(sigma))), 0, 4) : 2;
  return fmt::format("{:.{}f} ± {:.{}f}", value, decimals, sigma, decimals);
}

std::optional<Duration> usual_interval(std::span<const double> times) {
  std::vector<double> steps;
  for (std::size_t i = 1; i < times.size(); ++i) {
    if (times[i] > times[i - 1]) steps.push_back(times[i] - times[i - 1]);
  }
  if (steps.empty()) return std::nullopt;
  const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
  std::nth_element(steps.begin(), middle, steps.end());
  return Duration::s(*middle);
}

std::string width(const Seeing& s) { return with_error(s.fwhm.value.arcsec(), s.fwhm.sigma.arcsec()) + "\""; }

}  // namespace

Result<std::optional<ClipAir>> read_air(const Recording& recording, const RecordingIndex& index,
                                        std::span<const double> times, Subject subject,
                                        const std::optional<Motion>& motion, const ClipOptics& optics, Threads threads,
                                        std::string& why_not) {
  const auto interval = usual_interval(times);
  if (!interval) {
    why_not = "the times of the frames are not known";
    return std::optional<ClipAir>();
  }
  const auto spectra = exposure_spectra(recording, index, optics, subject, threads);
  if (!spectra) {
    if (spectra.error().kind != ErrorKind::bad_input) return spectra.error();
    why_not = spectra.error().what;
    return std::optional<ClipAir>();
  }
  const auto seeing = seeing_of_exposures(*spectra, optics, *interval, std::nullopt);
  if (!seeing) {
    why_not = seeing.error().what;
    return std::optional<ClipAir>();
  }
  const auto bounded = motion ? bounded_by_motion(*seeing, *motion, optics) : std::optional(*seeing);
  if (!bounded) {
    why_not = "the exposures are blurred by more than air that moves them so little can: focus first";
    return std::optional<ClipAir>();
  }
  ClipAir air;
  air.seeing = *bounded;
  if (air.seeing.coherence) {
    // The wind that goes with the coherence time: 0.314 r0 / tau.
    const Speed wind = Speed::m_per_s(0.314 * air.seeing.r0.value.m() / air.seeing.coherence->value.s());
    const Turbulence turbulence{air.seeing.r0.value};
    air.smear = smearing_motion_rms(turbulence, optics.pupil.diameter, *interval, wind);
    air.smear_of_half = smearing_motion_rms(turbulence, optics.pupil.diameter, *interval * 0.5, wind);
  }
  return std::optional<ClipAir>(air);
}

ClipAir air_of(const StarRing& ring, Length wavelength) {
  ClipAir air;
  air.seeing = seeing_of_r0(ring.r0, wavelength);
  return air;
}

void look_overhead(ClipAir& air, double airmass) {
  air.airmass = airmass;
  if (airmass < kLowest) air.zenith = at_zenith(air.seeing, airmass);
}

std::vector<std::string> air_lines(const ClipAir& air) {
  const Seeing& s = air.seeing;
  std::vector<std::string> out;
  out.push_back(fmt::format("{} wide at 500 nm along the line of sight (r0 {} cm)", width(s),
                            with_error(s.r0.value.cm(), s.r0.sigma.cm())));
  if (air.zenith) out.push_back(fmt::format("{} overhead (airmass {:.2f})", width(*air.zenith), *air.airmass));
  out.push_back(fmt::format("by {}", words(s.method)));
  if (s.coherence)
    out.push_back(
        fmt::format("the air stays the same for {} ms", with_error(s.coherence->value.ms(), s.coherence->sigma.ms())));
  if (air.smear && air.smear->arcsec() - air.smear_of_half->arcsec() > kWorthSaying)
    out.push_back(
        fmt::format("motion smears frames that fill their interval by {:.2f}\" rms, of half the exposure {:.2f}\"",
                    air.smear->arcsec(), air.smear_of_half->arcsec()));
  return out;
}

}  // namespace halfarc
