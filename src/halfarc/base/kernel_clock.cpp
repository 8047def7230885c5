#include "halfarc/base/kernel_clock.h"

#include <sys/timex.h>

namespace halfarc {
namespace {

constexpr long kNoLimit_us = 16'000'000;  // NTP_PHASE_LIMIT in microseconds

Duration of_microseconds(long us) { return Duration::s(static_cast<double>(us) * 1e-6); }

}  // namespace

KernelClock kernel_clock_of(int state, int status, long most_error_us, long usual_error_us) {
  const bool held = state != TIME_ERROR && (status & STA_UNSYNC) == 0 && most_error_us < kNoLimit_us;
  return {held, of_microseconds(most_error_us), of_microseconds(usual_error_us)};
}

std::optional<KernelClock> read_kernel_clock() {
  timex asked{};  // modes 0: only look
  const int state = ::adjtimex(&asked);
  if (state < 0) return std::nullopt;
  return kernel_clock_of(state, asked.status, asked.maxerror, asked.esterror);
}

}  // namespace halfarc
