// Doing many independent pieces of work on all cores, with the same result for any number of threads.
//
// The rule of the house: a piece of work is a function of its index alone, and partial sums are kept per chunk and
// joined in index order. The chunks depend on the amount of work only, never on the number of threads.
#pragma once

#include <algorithm>
#include <cstddef>
#include <functional>
#include <utility>
#include <vector>

namespace halfarc {

struct Threads {
  int count = 0;  // 0: as many as the machine has
};

// The number of threads that `threads` stands for, at least 1.
int thread_count(Threads threads);

// Calls body(i) once for every i in [0, count), in any order, on up to `threads` threads and never on more than the
// machine has. An exception (a bug) in a
// body is rethrown here after the running bodies have ended.
void parallel_for(std::size_t count, Threads threads, const std::function<void(std::size_t)>& body);

// Splits [0, count) into at most `chunks` (at least one) runs of near-equal length, calls make(begin, end) for each in
// parallel and folds the partial results with join(total, part) in index order.
template <class Part, class Make, class Join>
Part chunked_reduce(std::size_t count, std::size_t chunks, Threads threads, Make make, Join join) {
  if (count == 0) return Part{};
  chunks = std::clamp<std::size_t>(chunks, 1, count);
  std::vector<Part> parts(chunks);
  parallel_for(chunks, threads, [&](std::size_t c) { parts[c] = make(count * c / chunks, count * (c + 1) / chunks); });
  Part total = std::move(parts.front());
  for (std::size_t c = 1; c < chunks; ++c) join(total, parts[c]);
  return total;
}

}  // namespace halfarc
