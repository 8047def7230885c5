// Kind: what a clip shows, told from its index and from the disc fit, so that only the readings that apply are taken.
//
//   empty    hardly a frame shows anything above the background
//   surface  the object runs over much of the frame's border
//   bright   a disc of which more than 3 % of a colour's samples are at full scale
//   planet   a disc, told by its fit
//   star     a point, in focus or spread into a blob or a ring: no disc, or one that breaks up into speckles
#pragma once

#include <array>
#include <optional>
#include <string_view>

#include "halfarc/frames/recording.h"
#include "halfarc/measure/aligned_mean.h"
#include "halfarc/measure/index.h"

namespace halfarc {

enum class ClipKind { planet, star, surface, bright, empty };

std::string_view name(ClipKind kind);  // "planet", ...
std::optional<ClipKind> clip_kind_named(std::string_view name);

// Medians over the frames with an object.
struct ClipSummary {
  double found_share = 0.0;  // of all frames
  double lit_border = 0.0;
  double diameter = 0.0;                 // pixels
  double background = 0.0, noise = 0.0;  // ADU; of all frames when none shows an object
  double level = 0.0;                    // ADU above background
  double peak = 0.0;                     // ADU, background included
  std::array<double, 3> saturated{};     // share of the object's samples of each colour, mean over the frames
  double sharpness = 0.0, best_sharpness = 0.0, spread = 0.0;  // median; median of the best 5 %; rms by quartiles
};
ClipSummary summarise(const RecordingInfo& info, const RecordingIndex& index);

// Whether a mean is a ring: its middle darker than 0.7 of the brightest ring about its centroid.
bool is_hollow(const AlignedMean& mean, const ClipSummary& summary);

// What the index alone says: planet stands for planet or star, which take a mean and a fit to tell apart.
ClipKind kind_from_index(const ClipSummary& summary);

}  // namespace halfarc
