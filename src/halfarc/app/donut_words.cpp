#include "halfarc/app/donut_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "halfarc/base/pixel.h"

namespace halfarc {
namespace {

constexpr double kStandsOut = 3.0;  // standard errors
constexpr double kGoodClip = 0.02;  // waves: an error of coma that leaves nothing to wish for

std::string with_error(double value, double sigma) {
  const int decimals = sigma > 0.0 ? std::clamp(1 - static_cast<int>(std::floor(std::log10(sigma))), 0, 4) : 2;
  return fmt::format("{:.{}f} ± {:.{}f}", value, decimals, sigma, decimals);
}

std::string clock_hand(PixelOffset d) {
  const int hour = (static_cast<int>(std::lround(direction_of(d).deg() / 30.0)) + 11) % 12 + 1;
  return fmt::format("{} o'clock", hour);
}

PixelOffset coma(const StarRing& ring) { return {ring.coma_x.value, ring.coma_y.value}; }

bool coma_stands_out(const StarRing& ring) { return coma(ring).length() > kStandsOut * ring.coma_sigma(); }

}  // namespace

std::vector<std::string> donut_lines(const Donut& donut) {
  std::vector<std::string> out;
  if (donut.shape) {
    const RingShape& s = *donut.shape;
    out.push_back(fmt::format("{} px across, its hole {} px",
                              with_error(s.outer_diameter.value, s.outer_diameter.sigma),
                              with_error(s.inner_diameter.value, s.inner_diameter.sigma)));
    const PixelOffset hole{s.hole_x.value, s.hole_y.value};
    const double error = std::max(s.hole_x.sigma, s.hole_y.sigma);
    out.push_back(hole.length() > kStandsOut * error
                      ? fmt::format("the hole is off the middle by {} % of the ring, towards {}",
                                    with_error(100.0 * hole.length(), 100.0 * error), clock_hand(hole))
                      : fmt::format("the hole is in the middle within {:.1f} % of the ring", 300.0 * error));
  }
  if (donut.optics) {
    const StarRing& r = *donut.optics;
    out.push_back(fmt::format("{} waves out of focus (a star does not show on which side)",
                              with_error(r.defocus.value, r.defocus.sigma)));
    out.push_back(coma_stands_out(r) ? fmt::format("coma of {} waves at the edge, its flare towards {}",
                                                   with_error(coma(r).length(), r.coma_sigma()), clock_hand(coma(r)))
                                     : fmt::format("no coma that stands out, at most {:.2f} waves at the edge",
                                                   kStandsOut * r.coma_sigma()));
    const double astigmatism = std::hypot(r.astigmatism.value, r.astigmatism_45.value);
    const double error = std::max(r.astigmatism.sigma, r.astigmatism_45.sigma);
    if (astigmatism > kStandsOut * error)
      out.push_back(fmt::format("astigmatism of {} waves at the edge", with_error(astigmatism, error)));
    if (r.plume && r.plume->value > kStandsOut * r.plume->sigma)
      out.push_back(fmt::format("a slow up-down change of {} waves rms, as warm air from the tube makes",
                                with_error(r.plume->value, r.plume->sigma)));
  }
  if (donut.optics && !donut.tells_air())
    out.push_back(
        fmt::format("this telescope explains only {:.0f} % of the picture: trust the waves less than their errors say",
                    100.0 * donut.optics->explained));
  if (!donut.why_no_optics.empty()) out.push_back(donut.why_no_optics);
  return out;
}

std::vector<std::string> donut_advice(const Donut& donut) {
  std::vector<std::string> out;
  if (!donut.optics) return out;
  const StarRing& r = *donut.optics;
  if (!coma_stands_out(r)) out.push_back("Leave the collimation alone: no coma stands out of the error.");
  if (r.coma_sigma() > kGoodClip) {
    const double needed = clip_for(r, kGoodClip).s();
    out.push_back(
        needed < 120.0
            ? fmt::format("The air leaves coma unsure by {:.2f} waves; a clip of {:.0f} s would bring {:.2f}.",
                          r.coma_sigma(), needed, kGoodClip)
            : fmt::format("The air will not let coma be measured better than about {:.2f} waves now.",
                          r.coma_sigma() * std::sqrt(r.span.s() / 120.0)));
  }
  if (r.plume && r.plume->value > kStandsOut * r.plume->sigma)
    out.push_back("The tube is not settled: warm air moves in it. Collimate when it is.");
  return out;
}

}  // namespace halfarc
