// An observation in plain text: the whole report, and the caption that goes under a picture.
#pragma once

#include <string>

#include "halfarc/report/observation.h"

namespace halfarc {

// Sections and rows, one a line, labels aligned.
std::string observation_text(const Observation& observation);

// Three or four sentences that stand alone: what, when, with what, how fine, which way up, what was done.
std::string caption(const Observation& observation);

}  // namespace halfarc
