// Marks that tell the thread sanitizer what oneTBB, which is not built for it, cannot: that a body begins after its
// caller asked for it and ends before the caller goes on. That much and no more, so that a race between two bodies is
// still found. Without the sanitizer they are nothing.
#pragma once

#if defined(__SANITIZE_THREAD__)
#define HALFARC_THREAD_SANITIZER 1
#elif defined(__has_feature)
#if __has_feature(thread_sanitizer)
#define HALFARC_THREAD_SANITIZER 1
#endif
#endif

#ifdef HALFARC_THREAD_SANITIZER
#include <sanitizer/tsan_interface.h>
#endif

namespace halfarc {

// One fork and join: released by the caller, acquired by each body; then released by each body, acquired by the caller.
class ForkAndJoin {
 public:
  ForkAndJoin() { release(begun_); }
  ~ForkAndJoin() { acquire(ended_); }
  ForkAndJoin(const ForkAndJoin&) = delete;
  ForkAndJoin& operator=(const ForkAndJoin&) = delete;

  // Lives as long as one run of bodies.
  class Body {
   public:
    explicit Body(ForkAndJoin& all) : all_(all) { acquire(all_.begun_); }
    ~Body() { release(all_.ended_); }
    Body(const Body&) = delete;
    Body& operator=(const Body&) = delete;

   private:
    ForkAndJoin& all_;
  };

 private:
#ifdef HALFARC_THREAD_SANITIZER
  static void release(char& mark) { __tsan_release(&mark); }
  static void acquire(char& mark) { __tsan_acquire(&mark); }
#else
  static void release(char&) {}
  static void acquire(char&) {}
#endif
  char begun_ = 0;
  char ended_ = 0;
};

}  // namespace halfarc
