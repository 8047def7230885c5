// The one lock around FFTW's planner, which keeps state of its own; executing plans is free of it.
#pragma once

#include <mutex>

namespace halfarc {

inline std::mutex& fourier_planner_lock() {
  static std::mutex* const kept = new std::mutex;  // never destroyed: worker threads may outlive main's statics
  return *kept;
}

}  // namespace halfarc
