// Saturn's ring: how far it is open, which face is lit, its outline, and the two shadows.
#pragma once

#include <optional>

#include "halfarc/sky/disc.h"

namespace halfarc::sky {

struct SaturnRing {
  Angle tilt;            // B: latitude of the observer above the ring's plane, positive when the north face is seen
  Angle sun_tilt;        // B': latitude of the Sun above the plane
  Angle longitude_lead;  // delta U: between Sun and observer in the plane, positive when the Sun is ahead in longitude
  Angle pole_angle;      // P: position angle of the northern half of the minor axis, from north of date
  Angle major_axis;      // of the outer edge of ring A, tip to tip
  Angle minor_axis;      // never negative
  bool lit_face_seen = true;
  Angle globe_shadow;  // position angle of the direction in which the globe's shadow falls on the ring behind it
  // The planetocentric latitudes, on the meridian that faces the Sun, between which the bright rings' shadow lies on
  // the globe: from the inner edge of B to the outer edge of A. Nothing where an edge throws its shadow past the globe.
  std::optional<Angle> shadow_of_inner_edge;
  std::optional<Angle> shadow_of_outer_edge;
};

// Radii of the bright rings' edges. Source: from memory of the spacecraft occultation results, good to 20 km. (Meeus's
// 375.35" at 1 au for the major axis is an older 136 115 km.)
inline constexpr Length kOuterEdgeOfA = Length::km(136775.0);
inline constexpr Length kInnerEdgeOfB = Length::km(92000.0);

// Valid: 1900 to 2100.   Accuracy: B, B' 0.005 deg, P 0.01 deg.
// Source: [Archinal2018] pole; [Meeus1998] ch. 45; the shadow's latitude is geometry on the oblate globe.
SaturnRing saturn_ring(const Place& saturn, const Disc& disc, const Observer& observer);

// The latitude of the shadow that an edge of radius `edge` throws on the globe when the Sun stands at `sun_tilt`.
std::optional<Angle> ring_shadow_latitude(Length edge, Angle sun_tilt);

}  // namespace halfarc::sky
