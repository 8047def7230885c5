#include "halfarc/measure/index_kernels.h"

#include <algorithm>

// Bodies are written once, inlined into a portable and into a wide function, and vectorised there.
#define HALFARC_INLINE [[gnu::always_inline]] inline
#if defined(__x86_64__)
#define HALFARC_WIDE __attribute__((target("avx2")))
#else
#define HALFARC_WIDE
#endif

namespace halfarc {
namespace {

// Plain: what is computed --------------------------------------------------------------------------------------------

template <class T>
T ramp_of(T sample, T floor, T span) {
  const T above = sample > floor ? static_cast<T>(sample - floor) : T{};
  return above < span ? above : span;
}

template <class T>
void plain_columns(const Rows<T>& rows, StripSum<T>* even, StripSum<T>* odd, T* highest) {
  std::fill_n(even, rows.width, StripSum<T>{});
  std::fill_n(odd, rows.width, StripSum<T>{});
  std::copy_n(rows.row(0), rows.width, highest);
  for (int y = 0; y < rows.count; ++y) {
    StripSum<T>* sums = y % 2 == 0 ? even : odd;
    for (int x = 0; x < rows.width; ++x) {
      sums[x] = static_cast<StripSum<T>>(sums[x] + rows.row(y)[x]);
      highest[x] = std::max(highest[x], rows.row(y)[x]);
    }
  }
}

template <class T>
void plain_ramp(const Rows<T>& rows, const Ramp<T>& ramp, StripSum<T>* even, StripSum<T>* odd, float* row_sums) {
  std::fill_n(even, rows.width, StripSum<T>{});
  std::fill_n(odd, rows.width, StripSum<T>{});
  for (int y = 0; y < rows.count; ++y) {
    StripSum<T>* sums = y % 2 == 0 ? even : odd;
    double by_parity[2] = {0.0, 0.0};
    for (int x = 0; x < rows.width; ++x) {
      const int site = 2 * (y % 2) + x % 2;
      const T value = ramp_of(rows.row(y)[x], ramp.floor[site], ramp.span[site]);
      sums[x] = static_cast<StripSum<T>>(sums[x] + value);
      by_parity[x % 2] += value;
    }
    row_sums[2 * y] = static_cast<float>(by_parity[0]);
    row_sums[2 * y + 1] = static_cast<float>(by_parity[1]);
  }
}

template <class T>
void plain_count_high(const T* row, int width, T limit, std::uint32_t counts[2]) {
  counts[0] = counts[1] = 0;
  for (int x = 0; x < width; ++x) counts[x % 2] += row[x] >= limit ? 1 : 0;
}

template <class T>
void plain_quads(const T* even_row, const T* odd_row, int quads, float* out) {
  for (int i = 0; i < quads; ++i) {
    out[i] = static_cast<float>(even_row[2 * i]) + static_cast<float>(even_row[2 * i + 1]) +
             static_cast<float>(odd_row[2 * i]) + static_cast<float>(odd_row[2 * i + 1]);
  }
}

void plain_boxes(const float* above, const float* middle, const float* below, int count, float* out) {
  for (int i = 1; i < count - 1; ++i) {
    out[i] = 0.0F;
    for (int k = i - 1; k <= i + 1; ++k) out[i] += above[k] + middle[k] + below[k];
  }
}

float plain_contrast(const float* above, const float* middle, const float* below, int count) {
  double sum = 0.0;
  for (int i = 4; i < count - 4; ++i) {
    const double d = 4.0F * middle[i] - middle[i - 3] - middle[i + 3] - above[i] - below[i];
    sum += d * d;
  }
  return static_cast<float>(sum);
}

float plain_diagonal(const float* a, const float* b, int count) {
  double sum = 0.0;
  for (int i = 0; i < count - 1; ++i) {
    const double d = a[i] - a[i + 1] - b[i] + b[i + 1];
    sum += d * d;
  }
  return static_cast<float>(sum);
}

// Fast: the same in loops for vectors
// -------------------------------------------------------------------------------------

template <class T>
HALFARC_INLINE void add_row(const T* __restrict row, int width, StripSum<T>* __restrict sums, T* __restrict highest) {
#pragma omp simd
  for (int x = 0; x < width; ++x) {
    sums[x] = static_cast<StripSum<T>>(sums[x] + row[x]);
    highest[x] = highest[x] < row[x] ? row[x] : highest[x];
  }
}

// Four rows of one parity at a time, so that the sums are fetched and stored a quarter as often.
template <class T>
HALFARC_INLINE void add_four(const T* __restrict a, const T* __restrict b, const T* __restrict c, const T* __restrict d,
                             int width, StripSum<T>* __restrict sums, T* __restrict highest) {
  using Sum = StripSum<T>;
#pragma omp simd
  for (int x = 0; x < width; ++x) {
    const T ab = a[x] < b[x] ? b[x] : a[x];
    const T cd = c[x] < d[x] ? d[x] : c[x];
    const T abcd = ab < cd ? cd : ab;
    highest[x] = highest[x] < abcd ? abcd : highest[x];
    const Sum lower = static_cast<Sum>(Sum(a[x]) + Sum(b[x]));
    const Sum upper = static_cast<Sum>(Sum(c[x]) + Sum(d[x]));
    sums[x] = static_cast<Sum>(sums[x] + static_cast<Sum>(lower + upper));
  }
}

template <class T>
HALFARC_INLINE void fast_columns(const Rows<T>& rows, StripSum<T>* even, StripSum<T>* odd, T* highest) {
  std::fill_n(even, rows.width, StripSum<T>{});
  std::fill_n(odd, rows.width, StripSum<T>{});
  std::copy_n(rows.row(0), rows.width, highest);
  int y = 0;
  for (; y + 8 <= rows.count; y += 8) {
    add_four(rows.row(y), rows.row(y + 2), rows.row(y + 4), rows.row(y + 6), rows.width, even, highest);
    add_four(rows.row(y + 1), rows.row(y + 3), rows.row(y + 5), rows.row(y + 7), rows.width, odd, highest);
  }
  for (; y < rows.count; ++y) add_row(rows.row(y), rows.width, y % 2 == 0 ? even : odd, highest);
}

// One row through the ramp. The row's own sums are those of the columns' increments, by parity of the column.
template <class T>
HALFARC_INLINE void ramp_row(const T* __restrict row, int width, const T floor[2], const T span[2],
                             StripSum<T>* __restrict sums, float* row_sums) {
  using Wide = std::conditional_t<std::is_same_v<T, float>, float, std::uint32_t>;
  const T floor_even = floor[0], floor_odd = floor[1], span_even = span[0], span_odd = span[1];
  constexpr int kLanes = 8;
  Wide even[kLanes] = {}, odd[kLanes] = {};
  int x = 0;
  for (; x + 2 * kLanes <= width; x += 2 * kLanes) {
#pragma omp simd
    for (int k = 0; k < kLanes; ++k) {
      const T left = row[x + 2 * k], right = row[x + 2 * k + 1];
      const T left_above = left > floor_even ? static_cast<T>(left - floor_even) : T{};
      const T right_above = right > floor_odd ? static_cast<T>(right - floor_odd) : T{};
      const T a = left_above < span_even ? left_above : span_even;
      const T b = right_above < span_odd ? right_above : span_odd;
      sums[x + 2 * k] = static_cast<StripSum<T>>(sums[x + 2 * k] + a);
      sums[x + 2 * k + 1] = static_cast<StripSum<T>>(sums[x + 2 * k + 1] + b);
      even[k] += a;
      odd[k] += b;
    }
  }
  for (int k = 0; x < width; ++x, ++k) {
    const bool on_odd = x % 2 != 0;
    const T a = ramp_of(row[x], on_odd ? floor_odd : floor_even, on_odd ? span_odd : span_even);
    sums[x] = static_cast<StripSum<T>>(sums[x] + a);
    (on_odd ? odd : even)[k / 2] += a;
  }
  for (int k = 1; k < kLanes; ++k) {
    even[0] += even[k];
    odd[0] += odd[k];
  }
  row_sums[0] = static_cast<float>(even[0]);
  row_sums[1] = static_cast<float>(odd[0]);
}

template <class T>
HALFARC_INLINE void fast_ramp(const Rows<T>& rows, const Ramp<T>& ramp, StripSum<T>* even, StripSum<T>* odd,
                              float* row_sums) {
  std::fill_n(even, rows.width, StripSum<T>{});
  std::fill_n(odd, rows.width, StripSum<T>{});
  for (int y = 0; y < rows.count; ++y) {
    const int parity = y % 2;
    ramp_row(rows.row(y), rows.width, ramp.floor + 2 * parity, ramp.span + 2 * parity, parity == 0 ? even : odd,
             row_sums + 2 * y);
  }
}

template <class T>
HALFARC_INLINE void fast_count_high(const T* __restrict row, int width, T limit, std::uint32_t counts[2]) {
  std::uint32_t even = 0, odd = 0;
#pragma omp simd reduction(+ : even, odd)
  for (int i = 0; i < width / 2; ++i) {
    even += row[2 * i] >= limit ? 1U : 0U;
    odd += row[2 * i + 1] >= limit ? 1U : 0U;
  }
  if (width % 2 != 0) even += row[width - 1] >= limit ? 1U : 0U;
  counts[0] = even;
  counts[1] = odd;
}

template <class T>
HALFARC_INLINE void fast_quads(const T* __restrict even_row, const T* __restrict odd_row, int quads,
                               float* __restrict out) {
  using Sum = std::conditional_t<std::is_same_v<T, float>, float, std::int32_t>;
#pragma omp simd
  for (int i = 0; i < quads; ++i) {
    const Sum above = static_cast<Sum>(even_row[2 * i]) + static_cast<Sum>(even_row[2 * i + 1]);
    const Sum below = static_cast<Sum>(odd_row[2 * i]) + static_cast<Sum>(odd_row[2 * i + 1]);
    out[i] = static_cast<float>(above + below);
  }
}

HALFARC_INLINE void fast_boxes(const float* __restrict above, const float* __restrict middle,
                               const float* __restrict below, int count, float* __restrict out) {
#pragma omp simd
  for (int i = 1; i < count - 1; ++i) {
    const float left = above[i - 1] + middle[i - 1] + below[i - 1];
    const float here = above[i] + middle[i] + below[i];
    const float right = above[i + 1] + middle[i + 1] + below[i + 1];
    out[i] = left + here + right;
  }
}

constexpr int kLanes = 8;

HALFARC_INLINE float sum_of(const float (&lanes)[kLanes]) {
  return ((lanes[0] + lanes[1]) + (lanes[2] + lanes[3])) + ((lanes[4] + lanes[5]) + (lanes[6] + lanes[7]));
}

HALFARC_INLINE float fast_contrast(const float* __restrict above, const float* __restrict middle,
                                   const float* __restrict below, int count) {
  float lanes[kLanes] = {};
  int i = 4;
  for (; i + kLanes <= count - 4; i += kLanes) {
#pragma omp simd
    for (int k = 0; k < kLanes; ++k) {
      const int j = i + k;
      const float d = 4.0F * middle[j] - middle[j - 3] - middle[j + 3] - above[j] - below[j];
      lanes[k] += d * d;
    }
  }
  for (int k = 0; i < count - 4; ++i, ++k) {
    const float d = 4.0F * middle[i] - middle[i - 3] - middle[i + 3] - above[i] - below[i];
    lanes[k] += d * d;
  }
  return sum_of(lanes);
}

HALFARC_INLINE float fast_diagonal(const float* __restrict a, const float* __restrict b, int count) {
  float lanes[kLanes] = {};
  int i = 0;
  for (; i + kLanes <= count - 1; i += kLanes) {
#pragma omp simd
    for (int k = 0; k < kLanes; ++k) {
      const float d = a[i + k] - a[i + k + 1] - b[i + k] + b[i + k + 1];
      lanes[k] += d * d;
    }
  }
  for (int k = 0; i < count - 1; ++i, ++k) {
    const float d = a[i] - a[i + 1] - b[i] + b[i + 1];
    lanes[k] += d * d;
  }
  return sum_of(lanes);
}

// The two builds of each
// ------------------------------------------------------------------------------------------------

template <class T>
void portable_columns(const Rows<T>& rows, StripSum<T>* even, StripSum<T>* odd, T* highest) {
  fast_columns(rows, even, odd, highest);
}
template <class T>
HALFARC_WIDE void wide_columns(const Rows<T>& rows, StripSum<T>* even, StripSum<T>* odd, T* highest) {
  fast_columns(rows, even, odd, highest);
}
template <class T>
void portable_ramp(const Rows<T>& rows, const Ramp<T>& ramp, StripSum<T>* even, StripSum<T>* odd, float* sums) {
  fast_ramp(rows, ramp, even, odd, sums);
}
template <class T>
HALFARC_WIDE void wide_ramp(const Rows<T>& rows, const Ramp<T>& ramp, StripSum<T>* even, StripSum<T>* odd,
                            float* sums) {
  fast_ramp(rows, ramp, even, odd, sums);
}
template <class T>
void portable_count_high(const T* row, int width, T limit, std::uint32_t counts[2]) {
  fast_count_high(row, width, limit, counts);
}
template <class T>
HALFARC_WIDE void wide_count_high(const T* row, int width, T limit, std::uint32_t counts[2]) {
  fast_count_high(row, width, limit, counts);
}
template <class T>
void portable_quads(const T* even_row, const T* odd_row, int quads, float* out) {
  fast_quads(even_row, odd_row, quads, out);
}
template <class T>
HALFARC_WIDE void wide_quads(const T* even_row, const T* odd_row, int quads, float* out) {
  fast_quads(even_row, odd_row, quads, out);
}
void portable_boxes(const float* above, const float* middle, const float* below, int count, float* out) {
  fast_boxes(above, middle, below, count, out);
}
HALFARC_WIDE void wide_boxes(const float* above, const float* middle, const float* below, int count, float* out) {
  fast_boxes(above, middle, below, count, out);
}
float portable_contrast(const float* above, const float* middle, const float* below, int count) {
  return fast_contrast(above, middle, below, count);
}
HALFARC_WIDE float wide_contrast(const float* above, const float* middle, const float* below, int count) {
  return fast_contrast(above, middle, below, count);
}
float portable_diagonal(const float* a, const float* b, int count) { return fast_diagonal(a, b, count); }
HALFARC_WIDE float wide_diagonal(const float* a, const float* b, int count) { return fast_diagonal(a, b, count); }

}  // namespace

bool has_wide_kernels() {
#if defined(__x86_64__)
  return __builtin_cpu_supports("avx2") != 0;
#else
  return false;
#endif
}

template <class T>
const IndexKernels<T>& index_kernels(KernelKind kind) {
  static constexpr IndexKernels<T> plain{plain_columns<T>, plain_ramp<T>, plain_count_high<T>, plain_quads<T>};
  static constexpr IndexKernels<T> portable{portable_columns<T>, portable_ramp<T>, portable_count_high<T>,
                                            portable_quads<T>};
  static constexpr IndexKernels<T> wide{wide_columns<T>, wide_ramp<T>, wide_count_high<T>, wide_quads<T>};
  return kind == KernelKind::plain ? plain : kind == KernelKind::portable ? portable : wide;
}
template const IndexKernels<std::uint8_t>& index_kernels(KernelKind);
template const IndexKernels<std::uint16_t>& index_kernels(KernelKind);
template const IndexKernels<float>& index_kernels(KernelKind);

const BandKernels& band_kernels(KernelKind kind) {
  static constexpr BandKernels plain{plain_boxes, plain_contrast, plain_diagonal};
  static constexpr BandKernels portable{portable_boxes, portable_contrast, portable_diagonal};
  static constexpr BandKernels wide{wide_boxes, wide_contrast, wide_diagonal};
  return kind == KernelKind::plain ? plain : kind == KernelKind::portable ? portable : wide;
}

}  // namespace halfarc
