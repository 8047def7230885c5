// Geometry in words and in JSON, as `check` says it.
#pragma once

#include <string>
#include <vector>

#include "halfarc/app/clip_geometry.h"

namespace halfarc {

// Lines of text, each with the label that stands before it (empty: as the line before).
struct LabelledLine {
  std::string label, words;
};
std::vector<LabelledLine> geometry_lines(const ClipGeometry& geometry);

// The members that the document of `check` gets from it (docs/contracts/check.schema.json), as the text of a JSON
// object to be merged into that document: target, ephemeris, orientation, sky_drift, prisms; parts of scale and
// dispersion.
std::string geometry_json(const ClipGeometry& geometry);

}  // namespace halfarc
