#include "halfarc/app/live_pace.h"

#include <algorithm>
#include <chrono>
#include <memory>
#include <thread>

namespace halfarc {

BeforeFrame real_pace(double pace) {
  using Clock = std::chrono::steady_clock;
  const auto began = std::make_shared<Clock::time_point>();
  const auto last = std::make_shared<Duration>();
  return [=](Duration after_start) {
    const bool another_recording = after_start < *last || *began == Clock::time_point{};
    if (another_recording) *began = Clock::now();
    *last = after_start;
    std::this_thread::sleep_until(
        *began + std::chrono::duration_cast<Clock::duration>(std::chrono::duration<double>(after_start.s() / pace)));
  };
}

Pause real_pause(const Progress& progress) {
  return [&progress](Duration time) -> Result<void> {
    for (double left_s = time.s(); left_s > 0.0; left_s -= 0.1) {
      if (progress.stop_requested()) return cancelled();
      std::this_thread::sleep_for(std::chrono::duration<double>(std::min(left_s, 0.1)));
    }
    return {};
  };
}

}  // namespace halfarc
