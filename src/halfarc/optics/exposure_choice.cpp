#include "halfarc/optics/exposure_choice.h"

#include <algorithm>
#include <cmath>

#include "halfarc/optics/light.h"

namespace halfarc {
namespace {

constexpr double kSigmas = 3.0;

double with_noise(double electrons, double read_noise_e) {
  return electrons + kSigmas * std::sqrt(electrons + read_noise_e * read_noise_e);
}

// The electrons that with their noise come to `level`: the root of e + 3 sqrt(e + r^2) = level.
double without_noise(double level, double read_noise_e) {
  const double r2 = read_noise_e * read_noise_e;
  const double root = -0.5 * kSigmas + std::sqrt(0.25 * kSigmas * kSigmas + std::max(0.0, level) + r2);
  return std::max(0.0, root * root - r2);
}

}  // namespace

ExpectedHistogram expected_histogram(const Detector& detector, double e_per_adu, double mean_e, double peak_over_mean) {
  const double full = full_scale_adu(detector);
  const double peak_e = with_noise(mean_e * peak_over_mean, detector.read_noise_e);
  const auto fraction = [&](double electrons) {
    return std::min(1.0, (detector.offset_adu + std::min(electrons, detector.full_well_e) / e_per_adu) / full);
  };
  return {fraction(mean_e), fraction(peak_e), peak_e >= detector.full_well_e || fraction(peak_e) >= 1.0};
}

ExposureChoice choose_exposure(const Detector& detector, const std::array<double, 3>& electrons_per_s,
                               const ExposureWish& wish) {
  const double brightest = *std::max_element(electrons_per_s.begin(), electrons_per_s.end()) * wish.peak_over_mean;
  const double wanted_adu = wish.peak * full_scale_adu(detector) - detector.offset_adu;
  const double most_e = std::min(wanted_adu * detector.most_e_per_adu, wish.peak * detector.full_well_e);
  const Duration well = Duration::s(without_noise(most_e, detector.read_noise_e) / brightest);

  ExposureChoice choice;
  choice.exposure = std::clamp(std::min(wish.longest, well), wish.shortest, std::max(wish.shortest, wish.longest));
  const double peak_e = with_noise(brightest * choice.exposure.s(), detector.read_noise_e);
  choice.e_per_adu = std::clamp(peak_e / wanted_adu, detector.least_e_per_adu, detector.most_e_per_adu);
  choice.limit = well < wish.longest                              ? ExposureLimit::full_well
                 : peak_e / wanted_adu < detector.least_e_per_adu ? ExposureLimit::dim
                                                                  : ExposureLimit::motion;
  for (std::size_t colour = 0; colour < 3; ++colour) {
    const double mean_e = electrons_per_s[colour] * choice.exposure.s();
    choice.histograms[colour] = expected_histogram(detector, choice.e_per_adu, mean_e, wish.peak_over_mean);
    Exposed pixel;
    pixel.signal_e = mean_e;
    pixel.read_noise_e = detector.read_noise_e;
    pixel.e_per_adu = choice.e_per_adu;
    choice.signal_to_noise[colour] = signal_to_noise(pixel);
  }
  choice.frames = frame_rate(detector, wish.region, choice.exposure);
  choice.gigabytes_per_minute = gigabytes_per_minute(detector, wish.region, choice.frames.per_s);
  return choice;
}

}  // namespace halfarc
