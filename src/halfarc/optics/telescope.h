// Telescope: what collects the light, and how turning its knob moves the focus.
//
// Two ways to focus are known. A moving-mirror telescope (Schmidt-Cassegrain, Maksutov) shifts its primary along the
// tube: the focal plane moves much further than the mirror, and the effective focal length changes with it, because
// the secondary then magnifies more. A plain objective (Newtonian, refractor) keeps its focal length; its focuser
// carries the camera. All of it is paraxial, save the change of spherical aberration, which is third order.
//
// Back focus is the distance from the rear port (where the first part is screwed on or pushed in) to the focal plane,
// in air. Travel counts towards the sky, of what the knob moves: the primary, or the focuser with the camera. Towards
// the sky always means more back focus.
#pragma once

#include <optional>

#include "halfarc/base/length.h"
#include "halfarc/base/temperature.h"
#include "halfarc/optics/pupil.h"

namespace halfarc {

enum class TelescopeKind { schmidt_cassegrain, maksutov, newtonian, refractor };

// The mirrors of a moving-mirror telescope as they stand at the design back focus. Focal lengths are positive.
struct MirrorPair {
  Length primary_focal_length;
  Length secondary_focal_length;
  Length separation;             // of the vertices
  Length port_to_secondary;      // fixed: both sit on the tube
  Length secondary_diameter;     // clear; nil if unknown
  double secondary_conic = 0.0;  // 0 is a sphere
};

// The narrowest opening inside the tube on the way to the port: the front of the primary's baffle.
struct Baffle {
  Length diameter;
  Length before_port;
};

struct Knob {
  Length travel_per_turn;  // of what it moves
  bool clockwise_is_skyward = false;
  double backlash_turns = 0.0;
};

struct Telescope {
  TelescopeKind kind = TelescopeKind::schmidt_cassegrain;
  Length aperture;
  double obstruction = 0.0;  // diameter of the shadow as a fraction of the aperture
  Length focal_length;       // at the design back focus
  Length back_focus;         // the design's
  Length least_back_focus;   // what the knob can reach
  Length most_back_focus;
  double expansion_per_kelvin = 0.0;  // of the tube, relative
  Knob knob;
  std::optional<Baffle> baffle;
  std::optional<MirrorPair> mirrors;  // nothing: a plain objective
};

// The usual telescopes of each kind, by aperture. What they assume (from memory, typical of the class; the rig's own
// figures replace them): Schmidt-Cassegrain f/10 with an f/2 primary, back focus 127 mm behind a port 50 mm behind the
// primary, secondary 0.28 of the aperture behind a shadow of 0.34, baffle 0.19 of the aperture wide 0.9 of it before
// the port; Maksutov f/12 with an f/2.6 primary; Newtonian f/5 with a shadow of 0.25; refractor f/7; aluminium tubes,
// 23e-6 per kelvin; knobs of 0.75 mm of mirror or 20 mm of focuser a turn, counter-clockwise moving the mirror towards
// the sky.
Telescope schmidt_cassegrain(Length aperture = Length::mm(203.0));
Telescope maksutov(Length aperture = Length::mm(150.0));
Telescope newtonian(Length aperture = Length::mm(250.0));
Telescope refractor(Length aperture = Length::mm(120.0));

// Mirrors that bring an object at infinity to `focal_length` with the focal plane `back_focus` behind the port.
// Valid: focal_length > primary_focal_length > 0. Accuracy: exact, paraxial. Source: [Schroeder2000] 2.
MirrorPair mirrors_for(Length primary_focal_length, Length focal_length, Length port_behind_primary, Length back_focus);

// How much the secondary magnifies: 1 + (distance from it to the focal plane) / (its focal length). 1 without mirrors.
// Valid: any back focus. Accuracy: exact, paraxial. Source: [Schroeder2000] 2.
double secondary_magnification(const Telescope& telescope, Length back_focus);

// Primary focal length times that magnification: straight in the back focus. Constant for a plain objective.
// Valid: any back focus. Accuracy: exact, paraxial. Source: [Schroeder2000] 2.
Length effective_focal_length(const Telescope& telescope, Length back_focus);

// Travel towards the sky that takes the focal plane from one back focus to another. For a small step dB it is dB / m^2
// of a mirror, m the secondary's magnification (rear port and secondary stand still), and dB of a focuser.
// Valid: any. Accuracy: exact, paraxial. Source: [Schroeder2000] 2.
Length skyward_travel(const Telescope& telescope, Length from, Length to);

// What to do with the knob. The last motion is always towards the sky, so that a mirror is pushed up against its
// weight and the slack lies on one side (common practice); to come the other way the knob goes `past` the place and
// back again.
struct KnobTurn {
  double turns = 0.0;  // net, positive
  bool clockwise = false;
  double past = 0.0;  // turns beyond the place before coming back, slack included; nil when no return is needed
};

// Valid: travel_per_turn > 0. Accuracy: as the pitch and the slack are known. Source: common practice (past by a
// quarter turn beyond the slack).
KnobTurn knob_turn(const Knob& knob, Length skyward_travel);

// How far the focal plane moves (change of back focus) when the tube warms by one kelvin; negative: towards the sky.
// A longer tube parts the mirrors: -(m^2 + 1) alpha separation; of an objective, -alpha (focal length - back focus).
// Valid: a tube of one temperature; the glass itself left out. Accuracy: as alpha is. Source: [Schroeder2000] 2.
Length focus_shift_per_kelvin(const Telescope& telescope, Length back_focus);

// Spherical aberration W rho^4 at the edge of the pupil, in waves, that another back focus than the design's brings:
// the marginal ray meets the secondary at another height and the secondary works at another magnification:
// W = y^4 / (4 R^3) [K + ((m+1)/(m-1))^2]. Positive is over-correction: the edge focuses beyond the middle. The
// corrector's slight power is left out. Nil for a plain objective.
// Valid: back focus within +-150 mm of the design's. Accuracy: 10 % of the change against exact rays.
// Source: [Schroeder2000] 5 (aberration of a mirror).
double spherical_change_waves(const Telescope& telescope, Length back_focus, Length wavelength);

// What W waves of W rho^4 come to at best focus: peak to valley W / 4 over a full disc, and rms over the annulus,
// W (1 - e^2)^2 / (6 sqrt 5). Valid: any W. Accuracy: exact. Source: [Mahajan1998].
double spherical_peak_to_valley_waves(double edge_waves);
double spherical_rms_waves(double edge_waves, double obstruction);

// The opening that really passes light: with much back focus the secondary or the baffle becomes too small for the full
// aperture, while the shadow stays. Valid: any. Accuracy: exact, paraxial. Source: [Schroeder2000] 2.
Pupil used_pupil(const Telescope& telescope, Length back_focus);

// How far before the rear port all chief rays seem to come from (the image of the opening in both mirrors, or the
// objective itself). Valid: any. Accuracy: exact, paraxial; the opening is taken to stand at the secondary.
// Source: [Schroeder2000] 2.
Length exit_pupil_before_port(const Telescope& telescope, Length back_focus);

}  // namespace halfarc
