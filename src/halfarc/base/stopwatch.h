// Stopwatch: wall-clock seconds that a piece of work took, for the reports of long commands. Nothing is decided by it.
#pragma once

#include <chrono>

namespace halfarc {

class Stopwatch {
 public:
  // Seconds since the last call, or since the beginning.
  double lap() {
    const auto now = std::chrono::steady_clock::now();
    const std::chrono::duration<double> passed = now - last_;
    last_ = now;
    return passed.count();
  }

 private:
  std::chrono::steady_clock::time_point last_ = std::chrono::steady_clock::now();
};

}  // namespace halfarc
