// KernelClock: what the operating system itself says of how well its clock is held to the world's time. No network is
// asked: a time service that runs keeps this state up to date, and its absence shows as a clock that nothing holds.
#pragma once

#include <optional>

#include "halfarc/base/duration.h"

namespace halfarc {

struct KernelClock {
  bool held = false;     // a time service has set it lately
  Duration most_error;   // an upper limit, where it is held
  Duration usual_error;  // what the service thinks
};

// The kernel's words put into ours: `state` as adjtimex(2) returns it, its status bits and its two errors. A limit of
// 16 s is the kernel's way to say that it knows none. Valid: any. Accuracy: exact. Source: adjtimex(2), Linux
// man-pages; [Mills1994].
KernelClock kernel_clock_of(int state, int status, long most_error_us, long usual_error_us);

// Nothing where the system does not tell.
std::optional<KernelClock> read_kernel_clock();

}  // namespace halfarc
