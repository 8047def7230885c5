#include "halfarc/app/live_pace.h"

#include <gtest/gtest.h>

#include <chrono>

namespace halfarc {
namespace {

double seconds_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

TEST(LivePace, HoldsFramesBackUntilTheirTime) {
  const auto start = std::chrono::steady_clock::now();
  const BeforeFrame wait = real_pace(10.0);
  for (const double s : {0.0, 0.2, 0.4}) wait(Duration::s(s));
  EXPECT_GE(seconds_since(start), 0.04);
  wait(Duration::s(0.0));  // another recording begins anew
  wait(Duration::s(0.2));
  EXPECT_GE(seconds_since(start), 0.06);
}

class Stopped final : public Progress {
 public:
  void report(std::string_view, std::size_t, std::size_t) override {}
  bool stop_requested() const override { return true; }
};

TEST(LivePace, PauseLooksUpWhenItIsAskedToStop) {
  Silent on;
  EXPECT_TRUE(real_pause(on)(Duration::s(0.01)).has_value());
  Stopped stopped;
  EXPECT_FALSE(real_pause(stopped)(Duration::minutes(10.0)).has_value());
}

}  // namespace
}  // namespace halfarc
