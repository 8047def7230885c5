// The index of a recording: what one pass over every frame finds, small enough to keep for a million frames.
//
// Each frame is looked at twice. The whole of it gives column sums and maxima of 16-row strips, folded into 16 x 16
// cells: the background is the level of the lowest cells, so it stands when the disc fills much of the frame, and the
// object is the brightest connected group of cells above it. The samples of the object's box (and one cell around)
// then give, for every colour by itself, a ramp min(max(v - floor, 0), span) that rises from 15 % to 55 % of the
// disc's level. Its sums are the area, the centroid and the widths. The ramp saturates inside the disc, so they follow
// the limb and neither markings nor photon noise of the disc's face move them; a star is followed by its brighter part.
//
// Sharpness grades a frame by its contrast at a few pixels: the samples are summed in quads (2 x 2, so that the mosaic
// has no pattern) and in boxes of 3 x 3 quads; every box is compared with the four boxes that touch it. The mean
// square of that comparison, less the share that noise alone has (from the diagonal second difference of quads, where
// optics leave next to nothing; averaged over the recording, for it is the same for all frames), over the mean
// brightness of the disc squared: the square root is the sharpness. It is the rms contrast between neighbouring
// patches of 6 pixels on the disc. The limb counts as well as the face. Boxes are placed on every quad row when the
// object's box is at most 192 pixels tall, else on every third.
//
// Coordinates are those of docs/conventions.md: full-resolution pixels, mosaic or not.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "halfarc/base/pixel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/frames/recording.h"
#include "halfarc/frames/stream.h"

namespace halfarc {

// One frame. Levels are ADU as recorded. Where `found` is false nothing stands above the background and the fields
// from `flux` on are zero, except `saturated`.
struct FrameIndex {
  float background = 0.0F;  // of one sample, mean of the colours
  float noise = 0.0F;       // rms of one background sample; rounding to whole ADU included
  bool found = false;
  float lit_border = 0.0F;                   // share of the border cells that are as bright as the object
  std::array<std::uint32_t, 3> saturated{};  // samples at full scale: red, green, blue (mono counts as green)
  std::uint64_t fingerprint = 0;             // equal for equal frames; of the cell sums

  double flux = 0.0;     // sum above background
  float level = 0.0F;    // typical height of the disc above background, mean of its colours, one sample
  float peak = 0.0F;     // highest sample of the object's box, background included
  PixelPoint centroid;   // of the ramp, all colours
  float area = 0.0F;     // of the ramp, square pixels (green)
  float width_x = 0.0F;  // rms extent of the ramp about its centroid, pixels (a uniform disc: diameter / 4)
  float width_y = 0.0F;
  PixelOffset red_minus_green;  // of the ramps' centroids; zero for mono
  PixelOffset blue_minus_green;
  float sharpness = 0.0F;  // see above; negative when the noise share is larger than what was seen

  float band_power = 0.0F;   // what sharpness is made of: mean square of the comparison over the box, times quads
  float noise_power = 0.0F;  // and the part of it that noise of this frame would make

  // Diameter of the circle of that area, pixels.
  double diameter() const;
};

struct RecordingIndex {
  std::vector<FrameIndex> frames;  // in the order of the recording

  std::size_t found() const;  // frames with an object
};

// Reads every frame once. The result does not depend on the number of threads.
// Errors: those of reading; cancelled.
Result<RecordingIndex> index_recording(const Recording& recording, const StreamOptions& options, Progress& progress);

// The same for frames in memory, laid out as Recording::read gives them. Valid: samples as `info` says.
// Sharpness is left 0: it needs grade_sharpness().
FrameIndex index_frame(const RecordingInfo& info, std::span<const std::byte> frame);

// Fills in the sharpness of all frames of one recording from their powers.
void grade_sharpness(std::vector<FrameIndex>& frames);

// The numbers of the `count` sharpest frames with an object, ascending; ties go to the earlier frame.
std::vector<std::size_t> sharpest(const RecordingIndex& index, std::size_t count);

}  // namespace halfarc
