// Observation: everything that a report of one image says, as plain values.
//
// The fields are the union of those that observers' associations ask for. What is not known is absent and is left out
// of every form of the report; nothing is guessed. Times are UTC; angles on the image clockwise from up.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "halfarc/base/angle.h"
#include "halfarc/base/duration.h"
#include "halfarc/base/length.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/utc.h"

namespace halfarc {

struct Station {
  std::string name;
  Angle latitude;   // north positive
  Angle longitude;  // east positive
  Length height;
};

// A longitude of the disc's middle in a named system ("I", "II", "III"; empty where a body has one only).
struct CentralMeridian {
  std::string system;
  Angle longitude;
};

// How the body's disc looked at the middle of the observation.
struct DiscGeometry {
  std::vector<CentralMeridian> meridians;
  Angle diameter;     // equatorial, apparent
  double lit = 1.0;   // share of the disc
  Angle phase_angle;  // Sun - body - observer
  Angle tilt;         // planetographic latitude of the middle of the disc
  Angle pole;         // position angle of the north pole, celestial north through east
  std::optional<Angle> ring_opening;
  std::optional<Angle> colongitude;  // of the Moon's morning terminator, selenographic
  std::optional<Angle> libration_longitude, libration_latitude;
};

struct StatedSeeing {
  Measured<Angle> width;  // full width at half maximum of a long exposure, at the zenith, 500 nm
  std::string how;        // where it comes from; somebody's word has a sigma of 0, which is left out
};

struct Orientation {
  Angle north;            // celestial north on the image
  bool mirrored = false;  // east lies clockwise from north on a picture that is: seen as in a mirror
};

struct Observation {
  std::string object;
  Utc middle;
  std::optional<Duration> span;  // from the first to the last frame
  std::string observer;
  std::optional<Station> station;

  std::string telescope;  // in the owner's words
  std::optional<Length> aperture;
  std::optional<double> focal_ratio;  // effective
  std::optional<double> arcsec_per_px;
  std::string camera;
  std::string filter;
  std::string corrector;  // against dispersion; how it stood

  std::optional<Duration> exposure;
  std::optional<double> gain_e_per_adu;
  std::optional<double> frames_per_s;
  std::optional<std::size_t> frames_taken;
  std::optional<std::size_t> frames_kept;

  std::optional<DiscGeometry> disc;
  std::optional<Angle> altitude;
  std::optional<double> airmass;
  std::optional<StatedSeeing> seeing;
  std::string transparency;  // in the observer's words, with its scale
  std::optional<Orientation> orientation;
  std::optional<Duration> derotated;  // the span that was turned back to the middle

  std::optional<Measured<Angle>> resolution;  // period resolved, green; a sigma of 0 is not known and left out
  std::string criterion;                      // by which
  std::vector<std::string> processing;        // in the order done
  std::string comments;
};

}  // namespace halfarc
