// Combining the stacks of several runs of the same scene into one.
//
// Each run has been aligned to itself. Its two halves are laid on those of the first run by the green planes (by both
// halves together, so that the halves stay comparable) and averaged, weighted by the frames they hold. The scene must
// not have turned noticeably between the runs; derotate.h undoes a planet's spin.
#pragma once

#include <vector>

#include "halfarc/base/result.h"
#include "halfarc/restore/stack.h"

namespace halfarc {

// Hands over what is known of a run's frames: those kept, the sums for blur.h, the time they took.
void join_records(Stack& total, Stack& run);

// Errors: windows of different size; a run that shares nothing with the first. One stack comes back as it is.
Result<Stack> combine_stacks(std::vector<Stack> stacks);

}  // namespace halfarc
