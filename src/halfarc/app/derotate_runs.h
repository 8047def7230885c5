// Derotating runs: the stacks of one or several runs of a planet brought to one instant.
//
// Each run was stacked in slices so short that nothing moves by more than a tenth of the finest detail. Every slice is
// placed by its disc and warped to the instant (restore/derotate.h), the two halves each by themselves. Which end of
// the disc's axis is north is what the owner said, or, when he did not, what the data say: with the right end up, the
// earlier and the later slices agree in their detail, with the wrong end they do not.
#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "halfarc/base/parallel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/base/rotation_model.h"
#include "halfarc/frames/recording.h"
#include "halfarc/restore/blur.h"
#include "halfarc/restore/stack.h"
#include "halfarc/restore/turning_disc.h"
#include "halfarc/sky/body.h"
#include "halfarc/sky/site.h"

namespace halfarc {

struct DerotateRequest {
  sky::Body body = sky::Body::jupiter;
  sky::Site site;
  std::optional<Utc> at;       // nothing: the middle of all runs
  std::optional<Angle> north;  // of the globe on the image at that instant, clockwise from up; nothing: from the data
  bool mirrored = false;
  MountKind mount = MountKind::altitude_azimuth;
  Aperture aperture;  // its scale and its finest detail
};

// How the runs are to be cut and turned.
struct DerotationPlan {
  RotationModel model;
  double expected_radius = 0.0;                // pixels
  Duration slice;                              // at most so long
  std::vector<std::vector<std::size_t>> cuts;  // one list a run, for StackOptions; never empty
};

// Errors: a body that does not turn as a disc (Sun, Moon); runs without times, or more than 3 h from the instant; the
// body below the horizon then, as the site has it.
Result<DerotationPlan> plan_derotation(const DerotateRequest& request, std::span<const RecordingInfo> runs);

enum class NorthSource { given, measured };
std::string_view name_of(NorthSource source);  // "given", "measured"

struct DerotatedStack {
  Stack stack;
  Utc at;
  Angle north;  // of the globe on the image, clockwise from up
  NorthSource north_source = NorthSource::given;
  std::size_t slices = 0;
  double unseen = 0.0;  // share of the disc that no slice saw
};

// `stacks` belong to `runs`, in their order. Errors: nothing that can be placed; north neither given nor to be found.
Result<DerotatedStack> derotate_stacks(std::vector<Stack> stacks, std::span<const RecordingInfo> runs,
                                       const DerotateRequest& request, const DerotationPlan& plan, Threads threads,
                                       Progress& progress);

}  // namespace halfarc
