#include "halfarc/base/parallel.h"

#include <gtest/gtest.h>

#include <atomic>
#include <cmath>
#include <stdexcept>
#include <thread>

namespace halfarc {
namespace {

TEST(Parallel, ThreadCount) {
  EXPECT_EQ(thread_count(Threads{3}), 3);
  EXPECT_GE(thread_count(Threads{}), 1);
  EXPECT_GE(thread_count(Threads{-5}), 1);
}

TEST(Parallel, VisitsEveryIndexOnce) {
  for (const int threads : {1, 2, 5, 0}) {
    for (const std::size_t count : {std::size_t{0}, std::size_t{1}, std::size_t{1000}}) {
      std::vector<std::atomic<int>> visits(count);
      parallel_for(count, Threads{threads}, [&](std::size_t i) { ++visits[i]; });
      for (const auto& v : visits) ASSERT_EQ(v, 1);
    }
  }
}

TEST(Parallel, NestsWithoutLosingWork) {
  std::atomic<int> visits = 0;
  parallel_for(8, Threads{2}, [&](std::size_t) { parallel_for(8, Threads{2}, [&](std::size_t) { ++visits; }); });
  EXPECT_EQ(visits, 64);
}

TEST(Parallel, NeverMoreAtOnceThanAskedFor) {
  std::atomic<int> now = 0;
  std::atomic<int> most = 0;
  parallel_for(64, Threads{2}, [&](std::size_t) {
    const int at_once = ++now;
    int seen = most;
    while (at_once > seen && !most.compare_exchange_weak(seen, at_once)) {
    }
    std::this_thread::sleep_for(std::chrono::microseconds(200));
    --now;
  });
  EXPECT_GE(most, 1);
  EXPECT_LE(most, 2);
}

TEST(Parallel, RethrowsABugAfterTheBodiesHaveEnded) {
  std::atomic<int> running = 0;
  const auto run = [&] {
    parallel_for(100, Threads{2}, [&](std::size_t i) {
      ++running;
      std::this_thread::sleep_for(std::chrono::microseconds(100));
      --running;
      if (i == 17) throw std::logic_error("bug");
    });
  };
  EXPECT_THROW(run(), std::logic_error);
  EXPECT_EQ(running, 0);
}

// A sum whose terms differ by ten orders of magnitude: any other order of adding gives other last bits.
double awkward_sum(Threads threads) {
  return chunked_reduce<double>(
      100'001, 64, threads,
      [](std::size_t begin, std::size_t end) {
        double sum = 0.0;
        for (std::size_t i = begin; i < end; ++i) {
          const double x = static_cast<double>(i);
          sum += std::pow(10.0, static_cast<double>(i % 11)) / (x + 0.3);
        }
        return sum;
      },
      [](double& total, double part) { total += part; });
}

TEST(ChunkedReduce, GivesTheSameBitsForAnyNumberOfThreads) {
  const double alone = awkward_sum(Threads{1});
  for (const int threads : {2, 3, 7, 0}) {
    for (int again = 0; again < 5; ++again) ASSERT_EQ(awkward_sum(Threads{threads}), alone) << threads;
  }
}

std::vector<std::size_t> bounds_of(std::size_t count, std::size_t chunks) {
  using Bounds = std::vector<std::size_t>;
  return chunked_reduce<Bounds>(
      count, chunks, Threads{2},
      [](std::size_t begin, std::size_t end) {
        return Bounds{begin, end};
      },
      [](Bounds& total, const Bounds& part) { total.insert(total.end(), part.begin(), part.end()); });
}

TEST(ChunkedReduce, SplitsIntoNeighboursInOrder) {
  EXPECT_EQ(bounds_of(10, 3), (std::vector<std::size_t>{0, 3, 3, 6, 6, 10}));
  EXPECT_EQ(bounds_of(2, 8), (std::vector<std::size_t>{0, 1, 1, 2}));
  EXPECT_EQ(bounds_of(5, 0), (std::vector<std::size_t>{0, 5}));
  EXPECT_TRUE(bounds_of(0, 4).empty());
}

}  // namespace
}  // namespace halfarc
