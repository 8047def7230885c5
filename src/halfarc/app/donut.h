// Donut: what a star out of focus tells, for `check`: its edges in pixels from the picture alone, and the errors of the
// optics in waves where the telescope is known.
#pragma once

#include <optional>
#include <span>
#include <string>

#include "halfarc/measure/clip_optics.h"
#include "halfarc/measure/index.h"
#include "halfarc/measure/ring_shape.h"
#include "halfarc/measure/star_ring.h"

namespace halfarc {

struct Donut {
  std::optional<RingShape> shape;
  std::optional<StarRing> optics;
  Length wavelength;          // of the waves
  std::string why_no_optics;  // in plain words, when they could not be measured

  bool empty() const { return !shape && !optics; }
  // Whether the telescope's model explains the picture well enough for the air to be told from it.
  bool tells_air() const;
};

// `hollow`: the star is a ring (measure/kind.h). A star without a hole is read for its waves only, and kept when it is
// clearly out of focus, in air that is air: a disc far out of focus is wider than any. Without `optics` there are no waves. Errors: those of reading.
Result<Donut> read_donut(const Recording& recording, const RecordingIndex& index, std::span<const double> times,
                         bool hollow, const std::optional<ClipOptics>& optics);

}  // namespace halfarc
