// NightAdvice: from what was known before and what this night has shown, to what is known now and what to do next.
//
// A pure function: the same history gives the same advice. Everything that has been read since the beginning of the
// night counts, so several clips without a turn between them average, and every clip after a turn teaches.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "halfarc/advise/advice.h"
#include "halfarc/advise/history.h"
#include "halfarc/advise/knob.h"
#include "halfarc/advise/levers.h"
#include "halfarc/advise/screws.h"
#include "halfarc/optics/pupil.h"

namespace halfarc {

// What optics, rig and hour say, whatever the clips do.
struct AdviceBasis {
  Pupil pupil;
  Length wavelength = Length::nm(540.0);  // of the waves in the readings
  std::optional<Screws> screws;           // nothing: none to turn
  std::optional<Corrector> corrector;
  double colour_inside = 0.25;  // width (rms) of a colour plane over the distance between blue and red
  std::vector<AirAt> hours;     // the air's share in the hours to come, for the next trim
  Knob knob;
  bool knob_sense_known = false;
  std::optional<double> waves_per_turn;  // of the knob
};

// What turns have taught. Nothing: what the optics expect.
struct Responses {
  std::optional<ScrewResponse> screws;
  std::optional<CorrectorResponse> corrector;
  std::optional<KnobResponse> knob;
};

struct NightAdvice {
  std::vector<Advice> advice;  // ranked; of what has been read
  Responses responses;
  std::optional<ScrewState> screws;  // where things stand; of what has been read
  std::optional<LeverState> levers;
  std::optional<KnobState> knob;
  std::optional<Utc> next_trim;  // of the levers, when they stand right
  std::string words;             // "go and record", where nothing is left to turn; else empty
};

// Errors: those of advise/history.h.
Result<NightAdvice> advise(const AdviceBasis& basis, const Responses& before, const History& history);

}  // namespace halfarc
