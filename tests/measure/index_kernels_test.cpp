#include "halfarc/measure/index_kernels.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

template <class T>
std::vector<T> noise(std::size_t count, Rng rng) {
  std::vector<T> values(count);
  const double top = std::is_same_v<T, std::uint8_t> ? 255.0 : 65535.0;
  for (T& v : values) {
    v = static_cast<T>(rng.uniform(0.0, top));
    if (rng.uniform() < 0.02) v = static_cast<T>(top);  // the extremes, where sums could overflow
  }
  return values;
}

template <class T>
void expect_same(const std::vector<T>& plain, const std::vector<T>& fast, const char* what) {
  ASSERT_EQ(plain.size(), fast.size());
  for (std::size_t i = 0; i < plain.size(); ++i) {
    if constexpr (std::is_floating_point_v<T>) {
      ASSERT_NEAR(plain[i], fast[i], 2e-6 * (1.0 + std::abs(static_cast<double>(plain[i])))) << what << " " << i;
    } else {
      ASSERT_EQ(plain[i], fast[i]) << what << " " << i;
    }
  }
}

std::vector<KernelKind> fast_kinds() {
  std::vector<KernelKind> kinds{KernelKind::portable};
  if (has_wide_kernels()) kinds.push_back(KernelKind::wide);
  return kinds;
}

template <class T>
class IndexKernelsTest : public testing::Test {};
using SampleTypes = testing::Types<std::uint8_t, std::uint16_t, float>;
TYPED_TEST_SUITE(IndexKernelsTest, SampleTypes);

TYPED_TEST(IndexKernelsTest, FastIsPlainInColumnsAndFold) {
  using T = TypeParam;
  using Sum = StripSum<T>;
  const auto& plain = index_kernels<T>(KernelKind::plain);
  for (const int width : {1, 2, 15, 16, 17, 33, 176, 641}) {
    for (const int count : {1, 2, 7, 8, 9, 15, 16}) {
      const auto w = static_cast<std::size_t>(width);
      const auto samples = noise<T>(w * 16, Rng(7).child("columns", w));
      const Rows<T> rows{samples.data(), width, width, count};
      const std::size_t cells = (w + 15) / 16;
      std::vector<Sum> even(w), odd(w);
      std::vector<T> top(w), tops(cells);
      std::vector<float> sums(4 * cells, 3.0F);
      plain.columns(rows, even.data(), odd.data(), top.data());
      plain.fold(even.data(), odd.data(), top.data(), width, sums.data(), tops.data());
      for (const KernelKind kind : fast_kinds()) {
        const auto& fast = index_kernels<T>(kind);
        std::vector<Sum> even2(w), odd2(w);
        std::vector<T> top2(w), tops2(cells);
        std::vector<float> sums2(4 * cells, 3.0F);
        fast.columns(rows, even2.data(), odd2.data(), top2.data());
        fast.fold(even2.data(), odd2.data(), top2.data(), width, sums2.data(), tops2.data());
        expect_same(even, even2, "even");
        expect_same(odd, odd2, "odd");
        expect_same(top, top2, "top");
        expect_same(sums, sums2, "sums");
        expect_same(tops, tops2, "tops");
      }
    }
  }
}

TYPED_TEST(IndexKernelsTest, FastIsPlainInTheRamp) {
  using T = TypeParam;
  using Sum = StripSum<T>;
  const auto& plain = index_kernels<T>(KernelKind::plain);
  for (const int width : {1, 5, 16, 48, 177}) {
    for (const int count : {1, 3, 7, 8}) {
      const auto w = static_cast<std::size_t>(width);
      const auto samples = noise<T>(w * 8, Rng(9).child("ramp", w));
      const auto floor = noise<T>(w, Rng(10));
      auto span = noise<T>(w, Rng(11));
      for (std::size_t x = 0; x < w; x += 3) span[x] = std::numeric_limits<T>::max();  // as wide as can be
      const Rows<T> rows{samples.data(), width, width, count};
      std::vector<Sum> sums(3 * w);
      plain.ramp(rows, floor.data(), span.data(), sums.data());
      RowSum<T> by[2];
      plain.by_parity(sums.data(), width, by);
      for (const KernelKind kind : fast_kinds()) {
        const auto& fast = index_kernels<T>(kind);
        std::vector<Sum> sums2(3 * w);
        fast.ramp(rows, floor.data(), span.data(), sums2.data());
        expect_same(sums, sums2, "ramp");
        RowSum<T> by2[2];
        fast.by_parity(sums.data(), width, by2);
        expect_same(std::vector(by, by + 2), std::vector(by2, by2 + 2), "parity");
      }
    }
  }
}

TYPED_TEST(IndexKernelsTest, FastIsPlainInRows) {
  using T = TypeParam;
  const auto& plain = index_kernels<T>(KernelKind::plain);
  const float background[2] = {20.0F, 30.0F}, guard[2] = {60.0F, 90.0F};
  for (const int width : {1, 2, 15, 16, 31, 200, 641}) {
    const auto w = static_cast<std::size_t>(width);
    const auto above = noise<T>(w, Rng(1).child("above", w)), below = noise<T>(w, Rng(1).child("below", w));
    const T limit = static_cast<T>(std::is_same_v<T, std::uint8_t> ? 255 : 65535);
    std::vector<float> heights(4), quads(w / 2);
    std::vector<std::uint32_t> high(2);
    plain.heights(above.data(), width, background, guard, heights.data());
    plain.count_high(above.data(), width, limit, high.data());
    plain.quads(above.data(), below.data(), width / 2, quads.data());
    for (const KernelKind kind : fast_kinds()) {
      const auto& fast = index_kernels<T>(kind);
      std::vector<float> heights2(4), quads2(w / 2);
      std::vector<std::uint32_t> high2(2);
      fast.heights(above.data(), width, background, guard, heights2.data());
      fast.count_high(above.data(), width, limit, high2.data());
      fast.quads(above.data(), below.data(), width / 2, quads2.data());
      expect_same(heights, heights2, "heights");
      expect_same(high, high2, "high");
      expect_same(quads, quads2, "quads");
    }
  }
}

TEST(BandKernels, FastIsPlain) {
  const auto& plain = band_kernels(KernelKind::plain);
  for (const int count : {3, 8, 9, 10, 17, 88, 321}) {
    const auto n = static_cast<std::size_t>(count);
    const auto a = noise<float>(n, Rng(1).child("a", n)), b = noise<float>(n, Rng(2).child("b", n)),
               c = noise<float>(n, Rng(3).child("c", n));
    std::vector<float> boxes(n);
    plain.boxes(a.data(), b.data(), c.data(), count, boxes.data());
    for (const KernelKind kind : fast_kinds()) {
      const auto& fast = band_kernels(kind);
      std::vector<float> boxes2(n);
      fast.boxes(a.data(), b.data(), c.data(), count, boxes2.data());
      expect_same(boxes, boxes2, "boxes");
      expect_same(
          std::vector{plain.contrast(a.data(), b.data(), c.data(), count), plain.diagonal(a.data(), b.data(), count)},
          std::vector{fast.contrast(a.data(), b.data(), c.data(), count), fast.diagonal(a.data(), b.data(), count)},
          "sums of squares");
    }
  }
}

TEST(BandKernels, WideAndPortableAgreeToTheLastBit) {
  if (!has_wide_kernels()) GTEST_SKIP() << "this processor has one kind of fast loops";
  for (std::uint64_t i = 0; i < 20; ++i) {
    const auto a = noise<float>(333, Rng(5).child("a", i)), b = noise<float>(333, Rng(6).child("b", i));
    const auto &portable = band_kernels(KernelKind::portable), &wide = band_kernels(KernelKind::wide);
    EXPECT_EQ(portable.contrast(a.data(), b.data(), a.data(), 333), wide.contrast(a.data(), b.data(), a.data(), 333));
    EXPECT_EQ(portable.diagonal(a.data(), b.data(), 333), wide.diagonal(a.data(), b.data(), 333));
  }
}

// Sums by hand for two rows of four columns.
TEST(IndexKernelsByHand, Columns) {
  const std::uint8_t samples[] = {1, 2, 3, 4, 10, 20, 30, 40};
  for (const KernelKind kind : {KernelKind::plain, KernelKind::portable}) {
    std::uint16_t even[4], odd[4];
    std::uint8_t top[4];
    index_kernels<std::uint8_t>(kind).columns({samples, 4, 4, 2}, even, odd, top);
    EXPECT_EQ(even[2], 3);
    EXPECT_EQ(odd[2], 30);
    EXPECT_EQ(top[3], 40);
  }
}

}  // namespace
}  // namespace halfarc
