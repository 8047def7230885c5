// Levers: the dispersion corrector: both levers, and its roll about the axis.
//
// Three numbers decide what is left between blue and red: the marks at which the levers stand, how far the roll is out,
// and how strong the prisms really are in their place. A reading of the split along and across the zenith, with what
// the air alone does at that hour, tells marks and roll; turns tell the strength. The pull goes with the sine of the
// lever (optics/prism_pair.h), so a mark near the end of the scale does less than one near its beginning.
//
// Roll clockwise, from behind the camera, turns the pull clockwise on the picture: a camera shows what lies before it
// the right way round. An odd number of mirrors between corrector and camera reverses it; so would a program that flips
// the picture, which is kept in mind until turns rule it out.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <vector>

#include "halfarc/advise/advice.h"
#include "halfarc/advise/belief.h"
#include "halfarc/advise/gain.h"
#include "halfarc/advise/history.h"
#include "halfarc/optics/prism_pair.h"

namespace halfarc {

// What optics and rig say of it.
struct Corrector {
  PrismPair pair;
  CorrectorPlace place;
  Length red = Length::nm(610.0);  // middles of the colour planes
  Length blue = Length::nm(460.0);
  std::optional<double> marks;  // where the levers stood at the beginning of the night, if that is known
  bool roll_mirrored = false;   // by an odd number of mirrors between corrector and camera
};

// What is known of the response: how strong the prisms are against the rig's figures, and how likely a roll clockwise
// turns the pull clockwise on the picture. Source: common practice (unsure by 15 %).
struct CorrectorResponse {
  Measured<double> strength{1.0, 0.15};
  double clockwise = 0.95;
};
CorrectorResponse expected_response(const Corrector& corrector);

// Marks, roll error (degrees, clockwise on the picture), strength, and the air's share over what it was said to be, if
// roll turns the pull clockwise and if not.
struct LeverState {
  std::array<Belief, 2> beliefs;
  std::array<double, 2> weight{};
  Angle air;  // at the last reading
  bool read = false;

  const Belief& likelier() const { return beliefs[weight[1] > weight[0] ? 1 : 0]; }
  CorrectorResponse response() const;
};

// All readings of the colours that carry the air's share, and turns of levers and roll. The air's share is taken as
// good to 3 % (weather); a hand to 0.05 marks and 1 degree, and to a twentieth of what it turns (common practice). A
// roll is unsure by 15 degrees at first. Valid: events in order of time.
LeverState follow_levers(const Corrector& corrector, const CorrectorResponse& before, std::span<const Event> events);

// Levers to a tenth of their scale's hundredth, roll to a degree: each where the mean square of what is left is least
// once the other has been done. `air` is the air's share when the hand is at it. Valid: a state that was read.
std::vector<Advice> advise_levers(const Corrector& corrector, const LeverState& state, const ContrastCurve& curve,
                                  Angle air);

// The air's share against time, as altitude makes it.
struct AirAt {
  Utc utc;
  Angle air;
};

// When levers that stand right for `air` will cost a hundredth of half-arc contrast, the roll apart; nothing when not
// within the hours given. Valid: hours in order. Accuracy: as straight lines between them are.
std::optional<Utc> next_trim(std::span<const AirAt> hours, Angle air, const ContrastCurve& curve);

}  // namespace halfarc
