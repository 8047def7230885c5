#include "halfarc/optics/telescope.h"

#include <algorithm>
#include <cmath>

namespace halfarc {
namespace {

constexpr double kAluminium = 23e-6;  // relative expansion per kelvin, from memory
constexpr double kPastTurns = 0.25;   // common practice

double square(double x) { return x * x; }

// a * b / (a + b): where a thin mirror or lens of focal length b sends what comes from a.
Length joined(Length a, Length b) { return a * (b / (a + b)); }

// From the secondary to the focal plane.
Length image_distance(const MirrorPair& mirrors, Length back_focus) { return mirrors.port_to_secondary + back_focus; }

// From the secondary to the primary's focus behind it.
Length object_distance(const MirrorPair& mirrors, Length back_focus) {
  return joined(image_distance(mirrors, back_focus), mirrors.secondary_focal_length);
}

Telescope moving_mirror(TelescopeKind kind, Length aperture, double focal_ratio, double primary_ratio, double shadow) {
  Telescope t;
  t.kind = kind;
  t.aperture = aperture;
  t.obstruction = shadow;
  t.focal_length = aperture * focal_ratio;
  t.back_focus = Length::mm(127.0);
  t.least_back_focus = Length::mm(40.0);
  t.most_back_focus = Length::mm(420.0);
  t.expansion_per_kelvin = kAluminium;
  t.knob = {Length::mm(0.75), false, 0.05};
  t.mirrors = mirrors_for(aperture * primary_ratio, t.focal_length, Length::mm(50.0), t.back_focus);
  t.mirrors->secondary_diameter = aperture * (shadow - 0.06);
  t.baffle = Baffle{aperture * 0.19, aperture * 0.9};
  return t;
}

Telescope plain_objective(TelescopeKind kind, Length aperture, double focal_ratio, double shadow, Length back_focus,
                          Length reach) {
  Telescope t;
  t.kind = kind;
  t.aperture = aperture;
  t.obstruction = shadow;
  t.focal_length = aperture * focal_ratio;
  t.back_focus = back_focus;
  t.least_back_focus = back_focus - reach;
  t.most_back_focus = back_focus;
  t.expansion_per_kelvin = kAluminium;
  t.knob = {Length::mm(20.0), true, 0.0};
  return t;
}

double secondary_spherical_waves(const Telescope& telescope, Length back_focus, Length wavelength) {
  const MirrorPair& mirrors = *telescope.mirrors;
  const double m = secondary_magnification(telescope, back_focus);
  const Length height =
      telescope.aperture / 2.0 * (object_distance(mirrors, back_focus) / mirrors.primary_focal_length);
  const Length radius = mirrors.secondary_focal_length * 2.0;
  const double shape = mirrors.secondary_conic + square((m + 1.0) / (m - 1.0));
  return height / wavelength * std::pow(height / radius, 3.0) / 4.0 * shape;
}

}  // namespace

Telescope schmidt_cassegrain(Length aperture) {
  return moving_mirror(TelescopeKind::schmidt_cassegrain, aperture, 10.0, 2.0, 0.34);
}

Telescope maksutov(Length aperture) { return moving_mirror(TelescopeKind::maksutov, aperture, 12.0, 2.6, 0.33); }

Telescope newtonian(Length aperture) {
  return plain_objective(TelescopeKind::newtonian, aperture, 5.0, 0.25, Length::mm(80.0), Length::mm(50.0));
}

Telescope refractor(Length aperture) {
  return plain_objective(TelescopeKind::refractor, aperture, 7.0, 0.0, Length::mm(180.0), Length::mm(100.0));
}

MirrorPair mirrors_for(Length primary_focal_length, Length focal_length, Length port_behind_primary,
                       Length back_focus) {
  const double m = focal_length / primary_focal_length;
  const Length object = (primary_focal_length + port_behind_primary + back_focus) / (m + 1.0);
  MirrorPair mirrors;
  mirrors.primary_focal_length = primary_focal_length;
  mirrors.secondary_focal_length = object * (m / (m - 1.0));
  mirrors.separation = primary_focal_length - object;
  mirrors.port_to_secondary = mirrors.separation + port_behind_primary;
  return mirrors;
}

double secondary_magnification(const Telescope& telescope, Length back_focus) {
  if (!telescope.mirrors) return 1.0;
  return 1.0 + image_distance(*telescope.mirrors, back_focus) / telescope.mirrors->secondary_focal_length;
}

Length effective_focal_length(const Telescope& telescope, Length back_focus) {
  if (!telescope.mirrors) return telescope.focal_length;
  return telescope.mirrors->primary_focal_length * secondary_magnification(telescope, back_focus);
}

Length skyward_travel(const Telescope& telescope, Length from, Length to) {
  if (!telescope.mirrors) return to - from;
  return object_distance(*telescope.mirrors, to) - object_distance(*telescope.mirrors, from);
}

KnobTurn knob_turn(const Knob& knob, Length skyward_travel) {
  const double turns = skyward_travel / knob.travel_per_turn;
  const bool skyward = turns >= 0.0;
  return {std::abs(turns), skyward == knob.clockwise_is_skyward, skyward ? 0.0 : knob.backlash_turns + kPastTurns};
}

Length focus_shift_per_kelvin(const Telescope& telescope, Length back_focus) {
  const double alpha = telescope.expansion_per_kelvin;
  if (!telescope.mirrors) return (back_focus - telescope.focal_length) * alpha;
  const Length separation = telescope.mirrors->primary_focal_length - object_distance(*telescope.mirrors, back_focus);
  return separation * (-alpha * (square(secondary_magnification(telescope, back_focus)) + 1.0));
}

double spherical_change_waves(const Telescope& telescope, Length back_focus, Length wavelength) {
  if (!telescope.mirrors) return 0.0;
  return secondary_spherical_waves(telescope, back_focus, wavelength) -
         secondary_spherical_waves(telescope, telescope.back_focus, wavelength);
}

double spherical_peak_to_valley_waves(double edge_waves) { return std::abs(edge_waves) / 4.0; }

double spherical_rms_waves(double edge_waves, double obstruction) {
  return std::abs(edge_waves) * square(1.0 - square(obstruction)) / (6.0 * std::sqrt(5.0));
}

Pupil used_pupil(const Telescope& telescope, Length back_focus) {
  Length diameter = telescope.aperture;
  if (telescope.mirrors) {
    const MirrorPair& mirrors = *telescope.mirrors;
    const Length object = object_distance(mirrors, back_focus);
    const Length passed = mirrors.secondary_diameter * (mirrors.primary_focal_length / object);
    if (passed > Length()) diameter = std::min(diameter, passed);
  }
  if (telescope.baffle) {
    const Length focal_length = effective_focal_length(telescope, back_focus);
    const Length to_focus = telescope.baffle->before_port + back_focus;
    diameter = std::min(diameter, telescope.baffle->diameter * (focal_length / to_focus));
  }
  return {diameter, telescope.obstruction * (telescope.aperture / diameter)};
}

Length exit_pupil_before_port(const Telescope& telescope, Length back_focus) {
  if (!telescope.mirrors) return telescope.focal_length - back_focus;
  const MirrorPair& mirrors = *telescope.mirrors;
  // The primary shows the opening, which stands at its distance from the secondary, far behind itself.
  const Length object = object_distance(mirrors, back_focus);
  const Length to_opening = mirrors.primary_focal_length * (mirrors.primary_focal_length / object) - object;
  return mirrors.port_to_secondary + joined(to_opening, mirrors.secondary_focal_length);
}

}  // namespace halfarc
