// Reason: a number of an answer together with why it is what it is.
//
// A use case writes a reason down at the line that computes the number, and the document takes its numbers from the
// reasons: so no number is without one, and none can differ from it.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace halfarc {

struct ReasonInput {
  std::string name;
  double value = 0.0;
  std::string unit;  // may be empty
};

struct Reason {
  std::string field;  // where the JSON document has it: "focus/depth_um"
  std::string what;   // "depth of focus on the sensor"
  double value = 0.0;
  int decimals = 0;  // that mean something
  std::string unit;  // may be empty
  std::string formula;
  std::vector<ReasonInput> inputs;
  std::string source;
};

// Rounded to the decimals that mean something, and never minus nil.
double shown(const Reason& reason);

// The reason of a field; nothing when there is none.
const Reason* find_reason(const std::vector<Reason>& reasons, std::string_view field);

// Name and value, and below them formula, inputs and source, each on its own line.
std::string reason_words(const Reason& reason);

}  // namespace halfarc
