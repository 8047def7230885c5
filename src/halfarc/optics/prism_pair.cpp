#include "halfarc/optics/prism_pair.h"

#include <algorithm>
#include <cmath>

namespace halfarc {
namespace {

constexpr Angle kQuarter = Angle::deg(90.0);

// What each prism's pull is worth at the focus: the shift of the image when it alone pulls along a direction.
struct Pulls {
  Length first;
  Length second;
};

Pulls pulls(const PrismPair& pair, const CorrectorPlace& place, Length wavelength) {
  const Length from_second = place.to_focus + pair.thickness / refractive_index(pair.glass, wavelength);
  const double slope = deviation(pair, wavelength).rad();
  return {slope * (from_second + pair.gap), slope * from_second};
}

// The dispersion on the sky when both prisms pull the same way.
Angle full_dispersion(const PrismPair& pair, const CorrectorPlace& place, Length red, Length blue) {
  const Pulls at_red = pulls(pair, place, red);
  const Pulls at_blue = pulls(pair, place, blue);
  return Angle::rad((at_blue.first + at_blue.second - at_red.first - at_red.second) / place.focal_length);
}

// The lever angle at which the pull is greatest, within the scale.
Angle widest(const LeverScale& scale) { return std::min(lever_angle(scale, scale.highest), kQuarter); }

}  // namespace

PixelOffset in_pixels(SensorOffset offset, Length pixel) { return {offset.x / pixel, offset.y / pixel}; }

Angle lever_angle(const LeverScale& scale, double marks) { return scale.at_highest * (marks / scale.highest); }

double marks_at(const LeverScale& scale, Angle lever) { return lever / scale.at_highest * scale.highest; }

Angle first_base(const PrismPair& pair, Levers levers) {
  return pair.roll + kQuarter - lever_angle(pair.scale, levers.first);
}

Angle second_base(const PrismPair& pair, Levers levers) {
  return pair.roll - kQuarter + lever_angle(pair.scale, levers.second);
}

Angle deviation(const PrismPair& pair, Length wavelength) {
  return pair.apex * (refractive_index(pair.glass, wavelength) - 1.0);
}

SensorOffset image_shift(const PrismPair& pair, Levers levers, const CorrectorPlace& place, Length wavelength) {
  const Pulls pull = pulls(pair, place, wavelength);
  const PixelOffset first = step_towards(first_base(pair, levers));
  const PixelOffset second = step_towards(second_base(pair, levers));
  return {pull.first * first.x + pull.second * second.x, pull.first * first.y + pull.second * second.y};
}

SensorOffset target_shift(const PrismPair& pair, Levers from, Levers to, const CorrectorPlace& place,
                          Length wavelength) {
  const SensorOffset before = image_shift(pair, from, place, wavelength);
  const SensorOffset after = image_shift(pair, to, place, wavelength);
  return {after.x - before.x, after.y - before.y};
}

SkyOffset dispersion(const PrismPair& pair, Levers levers, const CorrectorPlace& place, Length red, Length blue) {
  const SensorOffset at_red = image_shift(pair, levers, place, red);
  const SensorOffset at_blue = image_shift(pair, levers, place, blue);
  return {Angle::rad((at_blue.x - at_red.x) / place.focal_length),
          Angle::rad((at_blue.y - at_red.y) / place.focal_length)};
}

LeftOver left_over(const PrismPair& pair, Levers levers, const CorrectorPlace& place, Angle zenith, Angle air,
                   Length red, Length blue) {
  const SkyOffset glass = dispersion(pair, levers, place, red, blue);
  const PixelOffset up = step_towards(zenith);
  const PixelOffset right = step_towards(zenith + kQuarter);
  return {air + glass.x * up.x + glass.y * up.y, glass.x * right.x + glass.y * right.y};
}

LeverSetting marks_for(const PrismPair& pair, const CorrectorPlace& place, Angle air, Length red, Length blue) {
  const Angle full = full_dispersion(pair, place, red, blue);
  LeverSetting setting = marks_for_share(pair.scale, air == Angle() ? 0.0 : air / full, full);
  if (!setting.enough) setting.left = air - full * sin(lever_angle(pair.scale, setting.marks));
  return setting;
}

LeverSetting marks_for_share(const LeverScale& scale, double share, Angle full) {
  const double most = sin(widest(scale));
  const double least = sin(std::max(lever_angle(scale, scale.lowest), -kQuarter));
  const double given = std::clamp(share, least, most);
  return {.enough = given == share,
          .marks = marks_at(scale, Angle::rad(std::asin(given))),
          .reach = full * most,
          .left = {}};
}

Angle per_mark(const PrismPair& pair, double marks, const CorrectorPlace& place, Length red, Length blue) {
  const double radians = lever_angle(pair.scale, 1.0).rad();
  return full_dispersion(pair, place, red, blue) * (cos(lever_angle(pair.scale, marks)) * radians);
}

}  // namespace halfarc
