// Screws: the three collimation screws, solved together, in the camera's own view.
//
// They stand a third of a turn apart, and the optics are round. So what one screw does to coma on the picture, a vector
// v a turn, the next does turned by 120 degrees: one test turn teaches all three, and nobody need think in mirrors or
// know how the camera is turned. Small differences between the screws are learned on the way.
//
// Which way round they follow on the picture comes from the optics. Turn telescope and sky together about the axis and
// nothing changes; so the three vectors run round the picture as directions on the sky do. From in front of the
// telescope a, b, c run clockwise; from behind it, looking at the sky, counter-clockwise; and so they do on a picture
// that shows the sky the right way round, as an even number of mirrors makes it. An odd number (a diagonal) makes them
// run clockwise. Programs that flip the picture exist, so the other way is kept in mind until turns rule it out.
#pragma once

#include <array>
#include <optional>
#include <span>

#include "halfarc/advise/advice.h"
#include "halfarc/advise/belief.h"
#include "halfarc/advise/gain.h"
#include "halfarc/advise/history.h"
#include "halfarc/base/length.h"
#include "halfarc/optics/telescope.h"
#include "halfarc/optics/tilt_coma.h"

namespace halfarc {

// What optics and rig say of them before any turn.
struct Screws {
  Measured<double> waves_per_turn;  // of coma at the edge
  Angle star_per_wave;              // how far the star goes on the sky for a wave of coma, against its change
  bool picture_mirrored = false;    // by an odd number of mirrors
};

// A turn tilts the mirror by pitch / (3/2 radius): about the line through the other two. Nothing for a refractor.
// Valid, accuracy: as optics/tilt_coma.h; 40 % for the screws.
std::optional<Screws> screws_of(const Telescope& telescope, Length back_focus, const ScrewCircle& circle, int diagonals,
                                Length wavelength);

// What is known of the response: what a full turn of screw a clockwise adds to coma, and how likely b and c follow it
// counter-clockwise on the picture.
struct ScrewResponse {
  double x = 0.0, y = 0.0;  // waves a turn
  Scatter scatter;
  double counter_clockwise = 0.95;
};

// Of unknown direction, its size from the optics. Source: a Gaussian of that mean square.
ScrewResponse expected_response(const Screws& screws);

// The same on a later night, the camera having been turned by an unknown angle of that standard error.
ScrewResponse after_camera_turned(const ScrewResponse& response, Angle sigma);

// Present coma (x, y) and the responses of a, b and c (x, y each), if b and c follow counter-clockwise on the picture,
// and if clockwise.
struct ScrewState {
  std::array<Belief, 2> beliefs;
  std::array<double, 2> weight{};
  std::array<double, 3> tightened{};  // turns of a, b and c tonight, clockwise
  double noise = 0.0;                 // of the last reading, waves a component
  bool read = false;

  const Belief& likelier() const { return beliefs[weight[1] > weight[0] ? 1 : 0]; }
  Measured<double> coma() const;  // its size
  ScrewResponse response() const;
};

// All readings of coma and turns of the screws in turn. In between, coma drifts: a tenth of a wave in an hour, and with
// a slew to another target a fifth of a wave as the mirror settles (common practice). A hand is good to a twentieth of
// what it turns and 1/250 of a turn. Valid: events in order of time.
ScrewState follow_screws(const ScrewResponse& before, std::span<const Event> events);

// One or two screws to tighten, in steps that a hand can make and at most a quarter of a turn each: those after which
// the mean square of coma is least, over all that is uncertain. Three screws turned alike do nothing, so tightening two
// does as much as loosening the third; a screw is loosened by no more than it was tightened tonight. A test turn while
// the response is unknown. Valid: a state that was read.
Advice advise_screws(const Screws& screws, const ScrewState& state, const ContrastCurve& curve);

}  // namespace halfarc
