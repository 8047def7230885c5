// Aligner: the references of both halves of a run, and where its frames lie on them. For stack.h.
//
// Each half builds its own reference from its best frames, aligned to their own improving mean. The only thing that
// passes between the halves is one offset, by which the second reference lies beside the first.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "halfarc/frames/recording.h"
#include "halfarc/restore/frame_work.h"
#include "halfarc/restore/register.h"
#include "halfarc/restore/stack.h"

namespace halfarc {

struct HalfReference {
  Reference reference;
  PixelPoint place;  // where it takes the centroid of the light to be
};

// `best`: the frames that build it, the sharpest first.
Result<HalfReference> build_reference(const Recording& recording, std::span<const GradedFrame> best,
                                      const Window& window, const StackOptions& options, Progress& progress);

class Aligner {
 public:
  // Frames are dealt to the halves in stretches of `stretch`, and looked for within `reach` pixels.
  Aligner(const Recording& recording, const Window& window, std::vector<HalfReference> references, std::size_t stretch,
          double reach);

  Result<AlignedFrame> place(const GradedFrame& frame, FrameReader& reader) const;

  // The reference of a half, in the places of the stack.
  Plane<float> reference(std::size_t half) const;

 private:
  const Recording& recording_;
  Window window_;
  std::vector<HalfReference> references_;
  std::size_t stretch_;
  double reach_;
  PixelOffset between_;
};

}  // namespace halfarc
