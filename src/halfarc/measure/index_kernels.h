// The loops that touch every sample of every frame, three times over: plain, portable and wide.
//
// `plain` says what is computed, in the fewest words. `portable` is the same in loops that the compiler turns into
// vector instructions of every x86-64; `wide` is compiled once more for AVX2 and chosen at run time where the
// processor has it. Integer results are the same to the last bit, sums of floats to rounding, and portable and wide
// agree to the last bit in everything: floats are added in eight lanes whatever the width of the registers.
//
// A mosaic repeats every two pixels, so sums are kept by the parity of row and column: sample (x, y) belongs to site
// 2 (y mod 2) + (x mod 2). A quad is one such 2 x 2 group; its sum holds every colour and has no pattern.
#pragma once

#include <cstdint>
#include <span>
#include <type_traits>

namespace halfarc {

// Sums over at most 16 rows: the narrowest type that cannot overflow.
template <class T>
using StripSum = std::conditional_t<std::is_same_v<T, std::uint8_t>, std::uint16_t,
                                    std::conditional_t<std::is_same_v<T, std::uint16_t>, std::uint32_t, float>>;

// A run of rows, `stride` samples apart; the first one is even.
template <class T>
struct Rows {
  const T* first = nullptr;
  std::ptrdiff_t stride = 0;
  int width = 0;
  int count = 0;

  const T* row(int y) const { return first + y * stride; }
};

// Lanes for sums over a row, wide enough for any row.
template <class T>
using RowSum = std::conditional_t<std::is_same_v<T, std::uint8_t>, std::uint32_t,
                                  std::conditional_t<std::is_same_v<T, std::uint16_t>, std::uint64_t, double>>;

template <class T>
struct IndexKernels {
  // Column sums of the even and of the odd rows, and the highest sample of each column. Valid: rows.count <= 16.
  // Outputs hold rows.width values and are overwritten.
  void (*columns)(const Rows<T>& rows, StripSum<T>* even, StripSum<T>* odd, T* highest);

  // Each run of 16 columns (the last may be shorter) folded: 4 sums by site, added to out[4 i + site], and the highest.
  void (*fold)(const StripSum<T>* even, const StripSum<T>* odd, const T* highest, int width, float* out, T* tops);

  // The ramp min(max(sample - floor[x], 0), span[x]) of every sample of n = rows.count <= 8 rows (of one parity, so
  // every second row of the frame), summed down the columns three times: sums[x] plain, sums[width + x] with row k
  // counted n - k times, sums[2 width + x] with row k counted (n - k)(n - k + 1) / 2 times.
  void (*ramp)(const Rows<T>& rows, const T* floor, const T* span, StripSum<T>* sums);

  // Sums of the values on even and on odd columns.
  void (*by_parity)(const StripSum<T>* values, int width, RowSum<T> sums[2]);

  // Sum and sum of squares of what stands above the background, of the samples higher than guard, on even and on odd
  // columns: out[0], out[1] sums, out[2], out[3] squares. background and guard hold one value a parity.
  void (*heights)(const T* row, int width, const float background[2], const float guard[2], float out[4]);

  // Samples of a row that are at least `limit`, on even and on odd columns.
  void (*count_high)(const T* row, int width, T limit, std::uint32_t counts[2]);

  // out[i] = the sum of quad i of two rows. Valid: 2 quads <= width.
  void (*quads)(const T* even_row, const T* odd_row, int quads, float* out);
};

// Loops over quads, which are floats whatever the samples were.
struct BandKernels {
  // out[i] = the sum of the 3 x 3 quads around i of three rows, for i in [1, count - 1).
  void (*boxes)(const float* above, const float* middle, const float* below, int count, float* out);

  // The sum over i in [4, count - 4) of (4 middle[i] - middle[i-3] - middle[i+3] - above[i] - below[i])^2: each box
  // against the four boxes that touch it.
  float (*contrast)(const float* above, const float* middle, const float* below, int count);

  // The sum over i in [0, count - 1) of (a[i] - a[i+1] - b[i] + b[i+1])^2, which holds almost only noise.
  float (*diagonal)(const float* a, const float* b, int count);
};

enum class KernelKind { plain, portable, wide };

// True when this processor runs the wide loops.
bool has_wide_kernels();

// T is std::uint8_t, std::uint16_t or float. Valid: wide only where has_wide_kernels().
template <class T>
const IndexKernels<T>& index_kernels(KernelKind kind);
const BandKernels& band_kernels(KernelKind kind);

// The fastest that this processor runs.
inline KernelKind fastest_kernels() { return has_wide_kernels() ? KernelKind::wide : KernelKind::portable; }

}  // namespace halfarc
