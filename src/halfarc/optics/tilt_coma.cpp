#include "halfarc/optics/tilt_coma.h"

#include <cmath>

namespace halfarc {
namespace {

// Lengths in millimetres, light going up the z axis on its way in; distances are counted as positive.
double two_mirrors(const Telescope& telescope, Length back_focus) {
  const MirrorPair& mirrors = *telescope.mirrors;
  const double radius = telescope.aperture.mm() / 2.0;
  const double f1 = mirrors.primary_focal_length.mm();
  const double c2 = -1.0 / (2.0 * mirrors.secondary_focal_length.mm());
  const double m = secondary_magnification(telescope, back_focus);
  const double image = (mirrors.port_to_secondary + back_focus).mm();
  const double apart = f1 - image / m;  // of the mirrors, as the knob has them

  // The marginal ray, and the chief ray of a star one radian off the axis.
  const double u1 = radius / f1, y2 = radius - u1 * apart;
  const double u2 = -u1 - 2.0 * y2 * c2;
  const double chief1 = apart, slope1 = 1.0 - apart / f1;
  const double chief2 = chief1 + slope1 * apart;
  // How far off the axis the star must be to come back to the middle after a tilt of one radian.
  const double star = star_shift_per_tilt(telescope, back_focus);

  const double primary = -(-radius / (2.0 * f1)) * (star * (1.0 - chief1 / (2.0 * f1))) * radius * -u1;
  const double into2 = -(y2 * c2 + u1);
  const double chief_into2 = star * (slope1 - chief2 * c2) - 1.0;
  const double sphere = -into2 * chief_into2 * y2 * (u2 + u1);
  const double figure = 2.0 * mirrors.secondary_conic * std::pow(c2, 3.0) * std::pow(y2, 3.0) * star * chief2;
  return 0.5 * std::abs(primary + sphere + figure);
}

}  // namespace

std::optional<Length> coma_per_radian(const Telescope& telescope, Length back_focus) {
  if (telescope.mirrors) return Length::mm(two_mirrors(telescope, back_focus));
  if (telescope.kind != TelescopeKind::newtonian) return std::nullopt;
  const Length radius = telescope.aperture / 2.0;
  return radius * (std::pow(radius / telescope.focal_length, 2.0) / 4.0);
}

double star_shift_per_tilt(const Telescope& telescope, Length back_focus) {
  if (!telescope.mirrors) return telescope.kind == TelescopeKind::newtonian ? 2.0 : 0.0;
  const Length image = telescope.mirrors->port_to_secondary + back_focus;
  return 2.0 * (image / effective_focal_length(telescope, back_focus));
}

ScrewCircle usual_screws(const Telescope& telescope) {
  return {telescope.aperture * (telescope.kind == TelescopeKind::newtonian ? 0.4 : 0.09)};
}

}  // namespace halfarc
