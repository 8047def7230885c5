// Measured<T>: a number that was measured, with its standard error (one sigma). No reading travels without one.
#pragma once

namespace halfarc {

template <class T>
struct Measured {
  T value{};
  T sigma{};
};

}  // namespace halfarc
