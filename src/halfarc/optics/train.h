// Train: everything screwed together behind the telescope, from the rear port to the sensor, and what it does.
//
// A part has a length from the face that meets the part before it to the face that meets the next, some glass in the
// way of the light, perhaps lenses, and an opening. The camera is the last part: its length is the depth of the sensor
// behind its front face. Parts are plain values; a train is a list of them in the order the light meets them.
//
// Solving goes from the sensor back to the port: a plate of glass shortens the way by t (1 - 1/n), a lens moves the
// point aimed at and magnifies. What is left at the port is the back focus that the telescope must give. From there the
// beam is followed forward again, for the drawing and the openings.
#pragma once

#include <string>
#include <vector>

#include "halfarc/base/result.h"
#include "halfarc/optics/amplifier.h"
#include "halfarc/optics/telescope.h"

namespace halfarc {

enum class PartKind { diagonal, filter, corrector, amplifier, spacer, camera };

struct Part {
  std::string name;
  PartKind kind = PartKind::spacer;
  Length length;          // from face to face; of a camera, from its face to the sensor
  Length clear_aperture;  // diameter of the narrowest opening, nil if unknown; of a camera, the sensor's diagonal
  Length glass;           // way through glass, at the front of the part
  double index = 1.5168;  // of that glass
  std::vector<ThinLens> lenses;  // in order; they may stand in front of the face, inside the part before
  double transmission = 1.0;     // share of the light that passes
  double mass_g = 0.0;           // 0: unknown
};

struct Train {
  std::vector<Part> parts;
};

// A part in its place. Beams are diameters at the front and rear face: of the light of a star on the axis, and of all
// the light that reaches the sensor (which carries the field as well).
struct PlacedPart {
  Part part;
  Length start;  // of the front face, behind the rear port
  Length front_beam;
  Length rear_beam;
  Length front_field_beam;
  Length rear_field_beam;
  double focal_ratio = 0.0;  // of the light at the middle of the part
  // Angle on the sky for each angle by which the light is turned at the middle of the part.
  double sky_per_turn = 0.0;
  bool cuts_axis = false;   // the opening is smaller than the beam of a star on the axis: light and sharpness lost
  bool cuts_field = false;  // or only than the whole beam: corners darkened
};

// The beam at one place, as diameters: of the light of a star on the axis, and of all light that reaches the sensor.
struct BeamStep {
  Length at;  // behind the rear port
  Length axis;
  Length field;
};

struct TrainSolution {
  std::vector<PlacedPart> parts;
  std::vector<BeamStep> beam;  // at every face of a part or a glass and every lens, in order; straight between
  Length sensor;               // behind the rear port
  Length back_focus;           // that the telescope gives
  bool in_reach = true;        // the knob can get there
  Length skyward_travel;       // from the design focus
  Length telescope_focal_length;
  double amplification = 1.0;
  Length focal_length;        // at the sensor
  Pupil pupil;                // the opening that passes light all the way
  double focal_ratio = 0.0;   // focal length over the diameter of that opening
  Angle corner_angle;         // by which the middle of the beam is off square at the corner of the sensor
  double transmission = 1.0;  // of all parts together
};

// Solves the train behind the telescope.
// Valid: a train whose last part, and no other, is a camera; lenses that leave a real focus. Accuracy: exact,
// paraxial, thin lenses. Source: [BornWolf1999] 4.4; plate: common practice, t (1 - 1/n).
Result<TrainSolution> solve(const Train& train, const Telescope& telescope);

// Angle on the sky of a length on the sensor. Valid: small angles. Accuracy: exact. Source: [BornWolf1999] 4.3.
Angle on_sky(const TrainSolution& solution, Length on_sensor);

// What changing one train into another asks of the owner's hand, and gives. Ratios are after over before.
struct TrainChange {
  Length back_focus;      // the focus must move out by so much
  Length skyward_travel;  // of the mirror or the focuser
  KnobTurn knob;
  double light_factor = 1.0;     // of the light on each mm^2 of the sensor: transmission (D / f)^2
  double scale_factor = 1.0;     // of the size of the image: focal lengths
  double spherical_waves = 0.0;  // W rho^4 at the edge that the new back focus brings, against the old
};

// Valid: two solutions behind this telescope. Accuracy: as `solve`. Source: as `solve`.
TrainChange change(const TrainSolution& before, const TrainSolution& after, const Telescope& telescope,
                   Length wavelength);

// The train with a part put in before place `at` (0 is nearest the telescope; at most the place of the camera),
// without the part of a name, or with that part moved to another place.
Result<Train> with_part(Train train, std::size_t at, Part part);
Result<Train> without_part(Train train, const std::string& name);
Result<Train> with_part_moved(Train train, const std::string& name, std::size_t to);

}  // namespace halfarc
