#include "halfarc/optics/prism_trace.h"

namespace halfarc {
namespace {

BenchPoint on_axis(Length z) { return {{}, {}, z}; }

Length whole_length(const PrismPair& pair) { return 2.0 * pair.thickness + pair.gap; }

// Where the light must close without the prisms for it to close `to_focus` behind the last face with them, as near as
// a plate of both thicknesses says.
BenchPoint focus_without(const PrismPair& pair, const CorrectorPlace& place, Length wavelength) {
  const double index = refractive_index(pair.glass, wavelength);
  return on_axis(whole_length(pair) + place.to_focus - 2.0 * pair.thickness * (1.0 - 1.0 / index));
}

}  // namespace

std::array<FlatFace, 4> faces(const PrismPair& pair, Levers levers, Length wavelength) {
  const double glass = refractive_index(pair.glass, wavelength);
  const Direction square;
  // A ray bends towards the base. Leaving the first prism its slanted face leans away from the base, entering the
  // second it leans towards it: so glass is thicker on the base's side of each.
  const Direction leaving = leaning(pair.apex, first_base(pair, levers) + Angle::deg(180.0));
  const Direction entering = leaning(pair.apex, second_base(pair, levers));
  return {FlatFace{on_axis(Length()), square, glass}, FlatFace{on_axis(pair.thickness), leaving, 1.0},
          FlatFace{on_axis(pair.thickness + pair.gap), entering, glass},
          FlatFace{on_axis(whole_length(pair)), square, 1.0}};
}

std::optional<SensorOffset> traced_shift(const PrismPair& pair, Levers levers, const CorrectorPlace& place,
                                         Length wavelength) {
  const auto behind = trace(Ray{}, faces(pair, levers, wavelength));
  if (!behind) return std::nullopt;
  const BenchPoint met = carried_to(*behind, whole_length(pair) + place.to_focus).at;
  return SensorOffset{met.x, met.y};
}

std::optional<ConeImage> traced_image(const PrismPair& pair, Levers levers, const CorrectorPlace& place,
                                      Length wavelength) {
  return image_through(place.cone, focus_without(pair, place, wavelength), faces(pair, levers, wavelength), wavelength);
}

std::optional<CorrectorAtWork> at_work(const PrismPair& pair, const CorrectorPlace& place, Angle air, Length red,
                                       Length blue, Length wavelength) {
  const LeverSetting setting = marks_for(pair, place, air, red, blue);
  const auto image = traced_image(pair, both_at(setting.marks), place, wavelength);
  if (!image) return std::nullopt;
  return CorrectorAtWork{setting, *image};
}

}  // namespace halfarc
