#include "halfarc/base/parallel.h"

#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

#include <algorithm>

#include "halfarc/base/thread_sanitizer.h"

#ifdef HALFARC_THREAD_SANITIZER
// oneTBB's own bookkeeping, compiled in from its headers, and what it copies of the lambdas here look like races too.
// Only top frames count, and fold_tree, which calls no body: so nothing that a body does is hidden.
extern "C" const char* __tsan_default_suppressions() {
  return "race_top:oneapi/tbb\nrace_top:base/parallel.cpp\nrace:fold_tree\n";
}
#endif

namespace halfarc {

int thread_count(Threads threads) {
  const int all = tbb::this_task_arena::max_concurrency();
  const int wanted = threads.count > 0 ? threads.count : all;
  return wanted > 0 ? wanted : 1;
}

void parallel_for(std::size_t count, Threads threads, const std::function<void(std::size_t)>& body) {
  // More threads than cores would only wait for each other, and oneTBB would complain on stderr.
  const int here = tbb::this_task_arena::max_concurrency(), workers = std::min(thread_count(threads), here);
  if (workers == 1 || count <= 1) {
    for (std::size_t i = 0; i < count; ++i) body(i);
    return;
  }
  ForkAndJoin bodies;
  const auto all = [&] {
    tbb::parallel_for(
        tbb::blocked_range<std::size_t>(0, count, 1),
        [&](const tbb::blocked_range<std::size_t>& range) {
          const ForkAndJoin::Body running(bodies);
          for (std::size_t i = range.begin(); i != range.end(); ++i) body(i);
        },
        tbb::simple_partitioner());
  };
  // A body may ask for bodies of its own: those share the threads at hand, and while it waits for them it takes up no
  // other body of its neighbours.
  if (workers == here) {
    tbb::this_task_arena::isolate(all);
  } else {
    tbb::task_arena arena(workers);
    arena.execute(all);
  }
}

}  // namespace halfarc
