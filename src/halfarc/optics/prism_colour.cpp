#include "halfarc/optics/prism_colour.h"

#include <algorithm>
#include <cmath>

namespace halfarc {
namespace {

double mean(const SpectralCurve& curve, const SpectralCurve& weight) {
  const double area = area_nm(weight);
  return area > 0.0 ? area_nm(curve * weight) / area : 0.0;
}

double covariance(const SpectralCurve& a, const SpectralCurve& b, const SpectralCurve& weight) {
  return mean(a * b, weight) - mean(a, weight) * mean(b, weight);
}

SpectralCurve sum(const SpectralCurve& a, const SpectralCurve& b) {
  SpectralCurve both;
  for (std::size_t i = 0; i < SpectralCurve::kSteps; ++i) both[i] = a[i] + b[i];
  return both;
}

// Along the roll, with both levers where the prisms help each other.
SpectralCurve full_pull(const PrismPair& pair, const CorrectorPlace& place) {
  return shift_curve(pair, both_at(marks_at(pair.scale, Angle::deg(90.0))), place, pair.roll);
}

}  // namespace

Spread spread_of(const SpectralCurve& arcsec, const SpectralCurve& weight) {
  // About its own mean, so that a large common shift costs no digits.
  const double centre = mean(arcsec, weight);
  const SpectralCurve off = sum(arcsec, SpectralCurve::flat(-centre));
  return {Angle::arcsec(centre), Angle::arcsec(std::sqrt(std::max(0.0, mean(off * off, weight))))};
}

SpectralCurve shift_curve(const PrismPair& pair, Levers levers, const CorrectorPlace& place, Angle towards) {
  const PixelOffset step = step_towards(towards);
  return SpectralCurve::of([&](Length wavelength) {
    const SensorOffset shift = image_shift(pair, levers, place, wavelength);
    return Angle::rad((shift.x * step.x + shift.y * step.y) / place.focal_length).arcsec();
  });
}

PlaneLeft plane_left(const PrismPair& pair, Levers levers, const CorrectorPlace& place, Angle zenith,
                     const SpectralCurve& air, const SpectralCurve& weight) {
  const SpectralCurve along = sum(air, shift_curve(pair, levers, place, zenith));
  const SpectralCurve across = shift_curve(pair, levers, place, zenith + Angle::deg(90.0));
  PlaneLeft left{spread_of(along, weight), spread_of(across, weight)};
  const double widths = left.along.width.arcsec() * left.across.width.arcsec();
  if (widths > 0.0) {
    const SpectralCurve off = sum(across, SpectralCurve::flat(-left.across.centre.arcsec()));
    left.together = std::clamp(covariance(along, off, weight) / widths, -1.0, 1.0);
  }
  return left;
}

LeverSetting marks_for(const PrismPair& pair, const CorrectorPlace& place, const SpectralCurve& air,
                       const SpectralCurve& weight) {
  const SpectralCurve full = full_pull(pair, place);
  const double variance = covariance(full, full, weight);
  const double share = variance > 0.0 ? covariance(air, full, weight) / variance : 0.0;
  LeverSetting setting = marks_for_share(pair.scale, share, spread_of(full, weight).width);
  const double given = sin(lever_angle(pair.scale, setting.marks));
  setting.left = spread_of(sum(air, -given * full), weight).width;
  return setting;
}

LeverSetting marks_for(const PrismPair& pair, const CorrectorPlace& place, const SpectralCurve& air,
                       const SpectralCurve& red, const SpectralCurve& blue) {
  const SpectralCurve pull = full_pull(pair, place);
  const Angle full = Angle::arcsec(mean(pull, blue) - mean(pull, red));
  const Angle lifted = Angle::arcsec(mean(air, blue) - mean(air, red));
  LeverSetting setting = marks_for_share(pair.scale, lifted == Angle() ? 0.0 : lifted / full, full);
  if (!setting.enough) setting.left = lifted - full * sin(lever_angle(pair.scale, setting.marks));
  return setting;
}

}  // namespace halfarc
