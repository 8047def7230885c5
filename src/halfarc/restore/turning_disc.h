// TurningDisc: where a spot of a planet's disc on one picture lies on a picture of another instant.
//
// A globe is an ellipsoid of revolution seen from afar. Its attitude at an instant comes from a RotationModel
// (base/rotation_model.h), its place from the picture: centre, equatorial radius and north. Every point of the picture
// of one instant belongs to the globe's surface, to the ring, or to neither; what belongs to the surface moves with the
// spin, all else keeps its place beside the globe and turns with the field only. Valid: far observer and Sun.
// Accuracy: exact geometry. Source: analytic geometry; conventions [Archinal2018].
#pragma once

#include <array>

#include "halfarc/base/pixel.h"
#include "halfarc/base/rotation_model.h"

namespace halfarc {

// How the telescope is carried, for the turning of the field.
enum class MountKind { altitude_azimuth, equatorial };

// A globe on a picture at the model's reference.
struct DiscOnImage {
  double equatorial_radius = 0.0;  // pixels
  Angle north;                     // the pole on the north side of the sky, clockwise from up
  bool mirrored = false;           // an odd number of mirrors: east is on the wrong side
  MountKind mount = MountKind::altitude_azimuth;
  // Inner and outer radius of a ring that hides and shades, in equatorial radii; none when equal.
  std::array<double, 2> ring = {0.0, 0.0};
};

// The bright rings of Saturn from the inner edge of C to the outer edge of A, over the globe's equatorial radius
// 60 268 km. Source: radii 74 658 and 136 775 km, from memory.
inline constexpr std::array<double, 2> kRingOfSaturn = {1.239, 2.269};

class TurningDisc {
 public:
  // The globe as it stands at `at`.
  TurningDisc(const RotationModel& model, const DiscOnImage& disc, Utc at);

  enum class Part { beside, surface, still };  // still: ring, or the ring's shadow, before the globe

  struct Spot {
    Part part = Part::beside;
    std::array<double, 3> place{};  // of the surface, equatorial radii: to the middle of the disc at the model's
                                    // reference in the equator, east of it, north
    double to_us = 0.0;             // cosine of the angle between the upright and the line of sight
    double to_sun = 0.0;            // the same for the Sun, below 0 at night
  };
  // What is seen at an offset from the globe's centre, pixels.
  Spot at(PixelOffset from_centre) const;

  struct Seen {
    PixelOffset from_centre;  // pixels
    double to_us = 0.0;       // 0 or less: behind the limb
    bool hidden = false;      // by the ring or in its shadow
  };
  // Where a place on the surface (Spot::place) is seen.
  Seen find(const std::array<double, 3>& place) const;

  // Where what keeps its place beside the globe lies at the other instant, as an offset from that centre.
  PixelOffset carried_to(const TurningDisc& other, PixelOffset from_centre) const;

  double radius() const { return radius_; }  // equatorial, pixels

 private:
  using Vector = std::array<double, 3>;
  Vector body_axes(double right, double up, double near) const;
  bool in_ring(const Vector& from, const Vector& direction) const;

  double radius_;
  double polar_;       // over equatorial
  PixelOffset right_;  // on the image: the way that features near the middle move with a forward spin
  PixelOffset up_;     // towards north
  double cos_lat_, sin_lat_;
  double cos_turn_, sin_turn_;  // of the middle of the disc against the reference
  Vector sun_;
  std::array<double, 2> ring_;
};

// The north of the globe on the picture at an instant, clockwise from up: as at the reference, and turned since by the
// mount's field rotation and the pole's own motion.
Angle north_at(const RotationModel& model, const DiscOnImage& disc, Utc at);

}  // namespace halfarc
