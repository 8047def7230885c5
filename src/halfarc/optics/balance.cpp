#include "halfarc/optics/balance.h"

#include <algorithm>
#include <cmath>

namespace halfarc {
namespace {

double weight_n(double mass_g) { return kGravity * mass_g * 1e-3; }

double moment_of(const MassPoint& point, Angle altitude) {
  const double arm = point.behind.m() * std::cos(altitude.rad()) + point.above.m() * std::sin(altitude.rad());
  return weight_n(point.mass_g) * arm;
}

// Of unknown mass, and not in the same place in the other train.
bool spoils(const MassPoint& point, const std::vector<MassPoint>& others) {
  if (point.mass_g > 0.0) return false;
  return std::none_of(others.begin(), others.end(), [&](const MassPoint& other) {
    return other.part == point.part && !(other.mass_g > 0.0) && abs(other.behind - point.behind) < Length::nm(1.0) &&
           abs(other.above - point.above) < Length::nm(1.0);
  });
}

}  // namespace

TrainMount typical_mount(const Telescope& telescope) {
  switch (telescope.kind) {
    case TelescopeKind::newtonian:
      return {telescope.focal_length * -0.4, true};
    case TelescopeKind::refractor:
      return {telescope.focal_length * 0.5, false};
    case TelescopeKind::schmidt_cassegrain:
    case TelescopeKind::maksutov:
      break;
  }
  return {telescope.aperture, false};
}

std::vector<MassPoint> mass_points(const Train& train, const TrainMount& mount) {
  std::vector<MassPoint> points;
  Length behind = mount.axis_before_port, above;
  bool up = false;
  const auto go = [&](Length way) {
    if (up) {
      above += way;
    } else if (!mount.aside) {
      behind += way;
    }
  };
  for (const Part& part : train.parts) {
    const bool camera = part.kind == PartKind::camera;
    go(camera ? part.length : part.length / 2.0);
    points.push_back({part.name, part.mass_g, behind, above});
    if (part.kind == PartKind::diagonal) up = true;
    if (!camera) go(part.length / 2.0);
  }
  return points;
}

double rear_moment(const std::vector<MassPoint>& points, Angle altitude) {
  double sum = 0.0;
  for (const MassPoint& point : points) sum += moment_of(point, altitude);
  return sum;
}

std::optional<double> moment_change(const std::vector<MassPoint>& before, const std::vector<MassPoint>& after,
                                    Angle altitude) {
  const auto unknown = [](const std::vector<MassPoint>& points, const std::vector<MassPoint>& others) {
    return std::any_of(points.begin(), points.end(), [&](const MassPoint& point) { return spoils(point, others); });
  };
  if (unknown(before, after) || unknown(after, before)) return std::nullopt;
  return rear_moment(after, altitude) - rear_moment(before, altitude);
}

double counter_mass_g(double moment, Length ahead) { return 1e3 * moment / (kGravity * ahead.m()); }

Length slide_forward(double moment, double mass_g) { return Length::m(moment / weight_n(mass_g)); }

}  // namespace halfarc
