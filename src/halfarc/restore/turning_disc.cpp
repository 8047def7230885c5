#include "halfarc/restore/turning_disc.h"

#include <cmath>

namespace halfarc {
namespace {

double dot(const std::array<double, 3>& a, const std::array<double, 3>& b) {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

double dot(PixelOffset a, PixelOffset b) { return a.x * b.x + a.y * b.y; }

}  // namespace

Angle north_at(const RotationModel& model, const DiscOnImage& disc, Utc at) {
  const Duration since = model.since_reference(at);
  // On an erect picture east is to the left of north: position angles run against the clock.
  const Angle turned = disc.mount == MountKind::altitude_azimuth
                           ? model.pole_from_zenith.after(since) - model.pole_from_zenith.at_reference
                           : model.pole_from_north.at_reference - model.pole_from_north.after(since);
  return disc.mirrored ? disc.north - turned : disc.north + turned;
}

TurningDisc::TurningDisc(const RotationModel& model, const DiscOnImage& disc, Utc at)
    : polar_(model.polar_over_equatorial), ring_(disc.ring) {
  const Duration since = model.since_reference(at);
  radius_ = disc.equatorial_radius *
            (model.equatorial_diameter.after(since).rad() / model.equatorial_diameter.at_reference.rad());
  up_ = step_towards(north_at(model, disc, at));
  right_ = PixelOffset{-up_.y, up_.x} * (disc.mirrored ? -1.0 : 1.0);
  const Angle latitude = model.sub_observer_latitude.after(since);
  cos_lat_ = cos(latitude);
  sin_lat_ = sin(latitude);
  const Angle turn = model.central_east_longitude.after(since) - model.central_east_longitude.at_reference;
  cos_turn_ = cos(turn);
  sin_turn_ = sin(turn);
  const Angle sun_longitude = model.sun_from_centre_longitude.after(since);
  const Angle sun_latitude = model.sub_solar_latitude.after(since);
  sun_ = {cos(sun_latitude) * cos(sun_longitude), cos(sun_latitude) * sin(sun_longitude), sin(sun_latitude)};
}

// Axes of the body at this instant: to the middle of the disc along the equator, east, north.
TurningDisc::Vector TurningDisc::body_axes(double right, double up, double near) const {
  return {near * cos_lat_ - up * sin_lat_, right, near * sin_lat_ + up * cos_lat_};
}

// Whether the ray crosses the ring on its way.
bool TurningDisc::in_ring(const Vector& from, const Vector& direction) const {
  if (ring_[1] <= ring_[0] || std::abs(direction[2]) < 1e-6) return false;
  const double t = -from[2] / direction[2];
  if (t <= 0.0) return false;
  const double r = std::hypot(from[0] + t * direction[0], from[1] + t * direction[1]);
  return r >= ring_[0] && r <= ring_[1];
}

TurningDisc::Spot TurningDisc::at(PixelOffset from_centre) const {
  const double right = dot(from_centre, right_) / radius_;
  const double up = dot(from_centre, up_) / radius_;
  // The line of sight, start + near * sight, through the ellipsoid x^2 + y^2 + (z / polar)^2 = 1.
  const Vector start = body_axes(right, up, 0.0);
  const Vector sight = body_axes(0.0, 0.0, 1.0);
  const double squash = 1.0 / (polar_ * polar_);
  const double a = sight[0] * sight[0] + sight[2] * sight[2] * squash;
  const double b = start[0] * sight[0] + start[2] * sight[2] * squash;
  const double c = start[0] * start[0] + start[1] * start[1] + start[2] * start[2] * squash - 1.0;
  const double root = b * b - a * c;
  Spot spot;
  if (root < 0.0) return spot;
  const Vector here = body_axes(right, up, (std::sqrt(root) - b) / a);
  const Vector upright = {here[0], here[1], here[2] * squash};
  const double length = std::sqrt(dot(upright, upright));
  spot.to_us = dot(upright, sight) / length;
  spot.to_sun = dot(upright, sun_) / length;
  spot.part = in_ring(here, sight) || in_ring(here, sun_) ? Part::still : Part::surface;
  spot.place = {here[0] * cos_turn_ - here[1] * sin_turn_, here[0] * sin_turn_ + here[1] * cos_turn_, here[2]};
  return spot;
}

TurningDisc::Seen TurningDisc::find(const std::array<double, 3>& place) const {
  const Vector here = {place[0] * cos_turn_ + place[1] * sin_turn_, place[1] * cos_turn_ - place[0] * sin_turn_,
                       place[2]};
  const Vector sight = body_axes(0.0, 0.0, 1.0);
  const double up = here[2] * cos_lat_ - here[0] * sin_lat_;
  const Vector upright = {here[0], here[1], here[2] / (polar_ * polar_)};
  Seen seen;
  seen.from_centre = right_ * (here[1] * radius_) + up_ * (up * radius_);
  seen.to_us = dot(upright, sight) / std::sqrt(dot(upright, upright));
  seen.hidden = in_ring(here, sight) || in_ring(here, sun_);
  return seen;
}

PixelOffset TurningDisc::carried_to(const TurningDisc& other, PixelOffset from_centre) const {
  const double scale = other.radius_ / radius_;
  return other.right_ * (dot(from_centre, right_) * scale) + other.up_ * (dot(from_centre, up_) * scale);
}

}  // namespace halfarc
