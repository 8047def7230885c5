#include "halfarc/base/random.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "halfarc/base/parallel.h"

namespace halfarc {
namespace {

// [Salmon2011] known-answer vectors distributed with the authors' Random123 library (kat_vectors, philox4x32 10).
TEST(Philox, KnownAnswers) {
  using Block = std::array<std::uint32_t, 4>;
  EXPECT_EQ(philox4x32({0, 0, 0, 0}, {0, 0}), (Block{0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}));
  constexpr std::uint32_t f = 0xffffffff;
  EXPECT_EQ(philox4x32({f, f, f, f}, {f, f}), (Block{0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd}));
  EXPECT_EQ(philox4x32({0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344}, {0xa4093822, 0x299f31d0}),
            (Block{0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1}));
}

// [Wichura1988] AS 241 states these three values of PPND16 as its check, one for each of its three branches.
TEST(NormalQuantile, CheckValuesOfItsPublication) {
  EXPECT_NEAR(normal_quantile(0.25), -0.6744897501960817, 1e-15);
  EXPECT_NEAR(normal_quantile(0.001), -3.090232306167814, 4e-15);
  EXPECT_NEAR(normal_quantile(1e-20), -9.262340089798408, 1e-14);
}

// Against the C library's erfc: P(X < x) = erfc(-x / sqrt 2) / 2.
TEST(NormalQuantile, IsTheInverseOfTheDistribution) {
  EXPECT_EQ(normal_quantile(0.5), 0.0);
  for (double p = 1e-300; p < 0.5; p = p * 1.7 + 1e-6) {
    const double x = normal_quantile(p);
    const double back = 0.5 * std::erfc(-x / std::sqrt(2.0));
    ASSERT_NEAR(back / p, 1.0, 3e-13) << p;  // the tail multiplies the last bit of x by up to x^2
  }
  for (const double p : {0.01, 0.2, 0.4}) EXPECT_NEAR(normal_quantile(1.0 - p), -normal_quantile(p), 1e-14);
}

TEST(Rng, UniformStaysInsideAndHasItsMoments) {
  Rng rng(2026);
  constexpr int n = 1'000'000;
  double sum = 0.0, squares = 0.0, lowest = 1.0, highest = 0.0;
  for (int i = 0; i < n; ++i) {
    const double u = rng.uniform();
    ASSERT_GT(u, 0.0);
    ASSERT_LT(u, 1.0);
    sum += u;
    squares += (u - 0.5) * (u - 0.5);
    lowest = std::min(lowest, u);
    highest = std::max(highest, u);
  }
  EXPECT_NEAR(sum / n, 0.5, 5.0 * std::sqrt(1.0 / 12.0 / n));  // five standard errors
  EXPECT_NEAR(squares / n, 1.0 / 12.0, 5.0 * std::sqrt(1.0 / 180.0 / n));
  EXPECT_LT(lowest, 1e-5);
  EXPECT_GT(highest, 1.0 - 1e-5);
}

// The largest and the smallest number that 64 bits can make, through the same expression as uniform().
TEST(Rng, UniformCannotRoundToOne) {
  const auto of_bits = [](std::uint64_t bits) { return (static_cast<double>(bits >> 12) + 0.5) * 0x1.0p-52; };
  EXPECT_LT(of_bits(~std::uint64_t{0}), 1.0);
  EXPECT_GT(of_bits(0), 0.0);
  Rng rng(5), same(5);
  EXPECT_EQ(rng.uniform(), of_bits(same.bits64()));
}

TEST(Rng, UniformBetweenBounds) {
  Rng rng(1);
  for (int i = 0; i < 1000; ++i) {
    const double u = rng.uniform(-3.0, -1.0);
    ASSERT_GT(u, -3.0);
    ASSERT_LT(u, -1.0);
  }
}

TEST(Rng, NormalHasItsMoments) {
  Rng rng(7);
  constexpr int n = 1'000'000;
  double sum = 0.0, squares = 0.0, cubes = 0.0, fourths = 0.0;
  for (int i = 0; i < n; ++i) {
    const double x = rng.normal();
    sum += x;
    squares += x * x;
    cubes += x * x * x;
    fourths += x * x * x * x;
  }
  EXPECT_NEAR(sum / n, 0.0, 5.0 / std::sqrt(n));  // five standard errors each; variances of moments: 1, 2, 15, 96
  EXPECT_NEAR(squares / n, 1.0, 5.0 * std::sqrt(2.0 / n));
  EXPECT_NEAR(cubes / n, 0.0, 5.0 * std::sqrt(15.0 / n));
  EXPECT_NEAR(fourths / n, 3.0, 5.0 * std::sqrt(96.0 / n));
}

TEST(Rng, ChildrenHaveStreamsOfTheirOwn) {
  const Rng parent(42);
  const auto first = [](Rng rng) { return rng.bits64(); };
  EXPECT_EQ(first(parent.child("frame", 700)), first(parent.child("frame", 700)));
  EXPECT_NE(first(parent.child("frame", 700)), first(parent.child("frame", 701)));
  EXPECT_NE(first(parent.child("frame", 0)), first(parent.child("screen", 0)));
  EXPECT_NE(first(Rng(42).child("frame")), first(Rng(43).child("frame")));
  EXPECT_NE(first(parent.child("a").child("b")), first(parent.child("b").child("a")));
  Rng used(42);
  used.bits32();
  EXPECT_EQ(first(used.child("frame", 3)), first(parent.child("frame", 3)));  // whatever came before
}

TEST(Rng, ChildrenAreNotCorrelated) {
  constexpr int n = 200'000;
  const Rng parent(9);
  double product = 0.0;
  for (int i = 0; i < n; ++i) {
    Rng a = parent.child("frame", static_cast<std::uint64_t>(i));
    Rng b = parent.child("frame", static_cast<std::uint64_t>(i + 1));
    product += a.normal() * b.normal();
  }
  EXPECT_NEAR(product / n, 0.0, 5.0 / std::sqrt(n));
}

TEST(Rng, GivesTheSameNumbersForAnyNumberOfThreads) {
  const auto numbers = [](Threads threads) {
    std::vector<double> all(3000);
    parallel_for(all.size(), threads, [&](std::size_t i) {
      Rng rng = Rng(3).child("frame", i);
      all[i] = rng.normal() + static_cast<double>(rng.poisson(20.0)) + rng.uniform();
    });
    return all;
  };
  const auto alone = numbers(Threads{1});
  for (const int threads : {2, 3, 8, 0}) EXPECT_EQ(numbers(Threads{threads}), alone);
}

}  // namespace
}  // namespace halfarc
