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

// Plain: what is computed --------------------------------------------------------------------------

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
void plain_fold(const StripSum<T>* even, const StripSum<T>* odd, const T* highest, int width, float* out, T* tops) {
  for (int x = 0; x < width; ++x) {
    const int cell = x / 16;
    out[4 * cell + x % 2] += static_cast<float>(even[x]);
    out[4 * cell + 2 + x % 2] += static_cast<float>(odd[x]);
    tops[cell] = x % 16 == 0 ? highest[x] : std::max(tops[cell], highest[x]);
  }
}

template <class T>
void plain_ramp(const Rows<T>& rows, const T* floor, const T* span, StripSum<T>* sums) {
  using Sum = StripSum<T>;
  const int w = rows.width, n = rows.count;
  std::fill_n(sums, 3 * w, Sum{});
  for (int k = 0; k < n; ++k) {
    for (int x = 0; x < w; ++x) {
      const T sample = rows.row(k)[x];
      const T value = sample > floor[x] ? std::min(static_cast<T>(sample - floor[x]), span[x]) : T{};
      const int times = n - k;
      sums[x] = static_cast<Sum>(sums[x] + value);
      sums[w + x] = static_cast<Sum>(sums[w + x] + static_cast<Sum>(times) * value);
      sums[2 * w + x] = static_cast<Sum>(sums[2 * w + x] + static_cast<Sum>(times * (times + 1) / 2) * value);
    }
  }
}

template <class T>
void plain_by_parity(const StripSum<T>* values, int width, RowSum<T> sums[2]) {
  sums[0] = sums[1] = RowSum<T>{};
  for (int x = 0; x < width; ++x) sums[x % 2] += static_cast<RowSum<T>>(values[x]);
}

template <class T>
void plain_heights(const T* row, int width, const float background[2], const float guard[2], float out[4]) {
  double sums[4] = {};
  for (int x = 0; x < width; ++x) {
    const int parity = x % 2;
    const float sample = static_cast<float>(row[x]);
    if (sample <= guard[parity]) continue;
    const float height = sample - background[parity];
    sums[parity] += static_cast<double>(height);
    sums[2 + parity] += static_cast<double>(height * height);
  }
  for (int i = 0; i < 4; ++i) out[i] = static_cast<float>(sums[i]);
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

// Halves, halves again and once more, so that neighbours of one parity end up in one place.
template <class T>
HALFARC_INLINE void fold_sixteen(const StripSum<T>* __restrict sums, float* __restrict out) {
  using Sum = StripSum<T>;
  Sum eight[8], four[4];
#pragma omp simd
  for (int k = 0; k < 8; ++k) eight[k] = static_cast<Sum>(sums[k] + sums[k + 8]);
#pragma omp simd
  for (int k = 0; k < 4; ++k) four[k] = static_cast<Sum>(eight[k] + eight[k + 4]);
  out[0] += static_cast<float>(four[0] + four[2]);
  out[1] += static_cast<float>(four[1] + four[3]);
}

template <class T>
HALFARC_INLINE T highest_of_sixteen(const T* __restrict highest) {
  T eight[8];
#pragma omp simd
  for (int k = 0; k < 8; ++k) eight[k] = highest[k] < highest[k + 8] ? highest[k + 8] : highest[k];
  T top = eight[0];
  for (int k = 1; k < 8; ++k) top = top < eight[k] ? eight[k] : top;
  return top;
}

template <class T>
HALFARC_INLINE void fast_fold(const StripSum<T>* even, const StripSum<T>* odd, const T* highest, int width, float* out,
                              T* tops) {
  const int whole = width / 16;
  for (int cell = 0; cell < whole; ++cell) {
    fold_sixteen<T>(even + 16 * cell, out + 4 * cell);
    fold_sixteen<T>(odd + 16 * cell, out + 4 * cell + 2);
    tops[cell] = highest_of_sixteen(highest + 16 * cell);
  }
  const int rest = 16 * whole;
  if (rest < width) plain_fold<T>(even + rest, odd + rest, highest + rest, width - rest, out + 4 * whole, tops + whole);
}

// All rows at one column before the next, so that the three sums stay in registers.
template <int kRows, class T>
HALFARC_INLINE void ramp_rows(const Rows<T>& rows, const T* __restrict floor, const T* __restrict span,
                              StripSum<T>* __restrict sums) {
  using Sum = StripSum<T>;
  const T* __restrict first = rows.first;
  const std::ptrdiff_t stride = rows.stride;
  const int w = rows.width;
  Sum* __restrict once = sums;
  Sum* __restrict twice = sums + w;
  Sum* __restrict thrice = sums + 2 * w;
#pragma omp simd
  for (int x = 0; x < w; ++x) {
    Sum a{}, b{}, c{};
#pragma GCC unroll 8
    for (int k = 0; k < kRows; ++k) {
      const T sample = first[k * stride + x];
      const T above = static_cast<T>((sample > floor[x] ? sample : floor[x]) - floor[x]);
      const T value = above < span[x] ? above : span[x];
      a = static_cast<Sum>(a + value);
      b = static_cast<Sum>(b + a);
      c = static_cast<Sum>(c + b);
    }
    once[x] = a;
    twice[x] = b;
    thrice[x] = c;
  }
}

template <class T>
HALFARC_INLINE void fast_ramp(const Rows<T>& rows, const T* floor, const T* span, StripSum<T>* sums) {
  if (rows.count == 8) return ramp_rows<8>(rows, floor, span, sums);
  plain_ramp(rows, floor, span, sums);  // the last strip of a frame
}

template <class T>
HALFARC_INLINE void fast_by_parity(const StripSum<T>* __restrict values, int width, RowSum<T> sums[2]) {
  constexpr int kLanes = 16;
  RowSum<T> lanes[kLanes] = {};
  int x = 0;
  for (; x + kLanes <= width; x += kLanes) {
#pragma omp simd
    for (int k = 0; k < kLanes; ++k) lanes[k] += static_cast<RowSum<T>>(values[x + k]);
  }
  for (int k = 0; x < width; ++x, ++k) lanes[k] += static_cast<RowSum<T>>(values[x]);
  sums[0] = sums[1] = RowSum<T>{};
  for (int k = 0; k < kLanes; ++k) sums[k % 2] += lanes[k];
}

template <class T>
HALFARC_INLINE void fast_heights(const T* __restrict row, int width, const float background[2], const float guard[2],
                                 float out[4]) {
  constexpr int kLanes = 16;
  float sum[kLanes] = {}, squares[kLanes] = {}, low[kLanes], high[kLanes];
  for (int k = 0; k < kLanes; ++k) {
    low[k] = background[k % 2];
    high[k] = guard[k % 2];
  }
  int x = 0;
  for (; x + kLanes <= width; x += kLanes) {
#pragma omp simd
    for (int k = 0; k < kLanes; ++k) {
      const float sample = static_cast<float>(row[x + k]);
      const float height = sample > high[k] ? sample - low[k] : 0.0F;
      sum[k] += height;
      squares[k] += height * height;
    }
  }
  for (int k = 0; x < width; ++x, ++k) {
    const float sample = static_cast<float>(row[x]);
    const float height = sample > high[k] ? sample - low[k] : 0.0F;
    sum[k] += height;
    squares[k] += height * height;
  }
  for (int i = 0; i < 4; ++i) out[i] = 0.0F;
  for (int k = 0; k < kLanes; ++k) {
    out[k % 2] += sum[k];
    out[2 + k % 2] += squares[k];
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

template <class T>
void portable_columns(const Rows<T>& rows, StripSum<T>* even, StripSum<T>* odd, T* highest) {
  fast_columns<T>(rows, even, odd, highest);
}
template <class T>
HALFARC_WIDE void wide_columns(const Rows<T>& rows, StripSum<T>* even, StripSum<T>* odd, T* highest) {
  fast_columns<T>(rows, even, odd, highest);
}

template <class T>
void portable_fold(const StripSum<T>* even, const StripSum<T>* odd, const T* highest, int width, float* out, T* tops) {
  fast_fold<T>(even, odd, highest, width, out, tops);
}
template <class T>
HALFARC_WIDE void wide_fold(const StripSum<T>* even, const StripSum<T>* odd, const T* highest, int width, float* out,
                            T* tops) {
  fast_fold<T>(even, odd, highest, width, out, tops);
}

template <class T>
void portable_ramp(const Rows<T>& rows, const T* floor, const T* span, StripSum<T>* sums) {
  fast_ramp<T>(rows, floor, span, sums);
}
template <class T>
HALFARC_WIDE void wide_ramp(const Rows<T>& rows, const T* floor, const T* span, StripSum<T>* sums) {
  fast_ramp<T>(rows, floor, span, sums);
}

template <class T>
void portable_by_parity(const StripSum<T>* values, int width, RowSum<T> sums[2]) {
  fast_by_parity<T>(values, width, sums);
}
template <class T>
HALFARC_WIDE void wide_by_parity(const StripSum<T>* values, int width, RowSum<T> sums[2]) {
  fast_by_parity<T>(values, width, sums);
}

template <class T>
void portable_heights(const T* row, int width, const float background[2], const float guard[2], float out[4]) {
  fast_heights<T>(row, width, background, guard, out);
}
template <class T>
HALFARC_WIDE void wide_heights(const T* row, int width, const float background[2], const float guard[2], float out[4]) {
  fast_heights<T>(row, width, background, guard, out);
}

template <class T>
void portable_count_high(const T* row, int width, T limit, std::uint32_t counts[2]) {
  fast_count_high<T>(row, width, limit, counts);
}
template <class T>
HALFARC_WIDE void wide_count_high(const T* row, int width, T limit, std::uint32_t counts[2]) {
  fast_count_high<T>(row, width, limit, counts);
}

template <class T>
void portable_quads(const T* even_row, const T* odd_row, int quads, float* out) {
  fast_quads<T>(even_row, odd_row, quads, out);
}
template <class T>
HALFARC_WIDE void wide_quads(const T* even_row, const T* odd_row, int quads, float* out) {
  fast_quads<T>(even_row, odd_row, quads, out);
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
  static constexpr IndexKernels<T> plain{plain_columns<T>, plain_fold<T>,       plain_ramp<T>, plain_by_parity<T>,
                                         plain_heights<T>, plain_count_high<T>, plain_quads<T>};
  static constexpr IndexKernels<T> portable{portable_columns<T>,   portable_fold<T>,    portable_ramp<T>,
                                            portable_by_parity<T>, portable_heights<T>, portable_count_high<T>,
                                            portable_quads<T>};
  static constexpr IndexKernels<T> wide{wide_columns<T>, wide_fold<T>,       wide_ramp<T>, wide_by_parity<T>,
                                        wide_heights<T>, wide_count_high<T>, wide_quads<T>};
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
