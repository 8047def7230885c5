#include "halfarc/base/banded_fourier.h"

#include <fftw3.h>

#include <algorithm>
#include <mutex>
#include <new>
#include <numbers>
#include <type_traits>

#include "halfarc/base/fourier_planner.h"

namespace halfarc {
namespace {

using std::numbers::pi;
using Value = std::complex<float>;

constexpr std::align_val_t kAlignment{64};
constexpr int kRows = 8;  // rows handled together: one cache line of a column

struct Free {
  void operator()(void* p) const { ::operator delete(p, kAlignment); }
};
template <class T>
using Buffer = std::unique_ptr<T[], Free>;

template <class T>
Buffer<T> zeros(std::size_t n) {
  auto* p = static_cast<T*>(::operator new(n * sizeof(T), kAlignment));
  std::uninitialized_fill_n(p, n, T{});
  return Buffer<T>(p);
}

// Whole cache lines of complex values, or of samples.
constexpr int up_to_eight(int n) { return (n + 7) / 8 * 8; }
constexpr int up_to_sixteen(int n) { return (n + 15) / 16 * 16; }

struct DestroyPlan {
  void operator()(fftwf_plan plan) const {
    const std::lock_guard lock(fourier_planner_lock());
    fftwf_destroy_plan(plan);
  }
};
using Plan = std::unique_ptr<std::remove_pointer_t<fftwf_plan>, DestroyPlan>;

fftwf_complex* raw(Value* p) { return reinterpret_cast<fftwf_complex*>(p); }

// exp(2 pi i k / n) for k below n / 2.
Buffer<Value> half_turn(int n) {
  auto factors = zeros<Value>(static_cast<std::size_t>(n / 2));
  for (int k = 0; k < n / 2; ++k) factors[static_cast<std::size_t>(k)] = Value(std::polar(1.0, 2.0 * pi * k / n));
  return factors;
}

// Folds a column of n values into the n / 2 whose transform back is every second sample, from 0 or from 1 on.
void fold(Value* column, int n, bool odd, const Value* turn) {
  auto* low = reinterpret_cast<float*>(column);
  const float* high = low + n;
  const auto* t = reinterpret_cast<const float*>(turn);
  if (!odd) {
#pragma omp simd
    for (int i = 0; i < n; ++i) low[i] += high[i];
    return;
  }
#pragma omp simd
  for (int i = 0; i < n / 2; ++i) {
    const float re = low[2 * i] - high[2 * i];
    const float im = low[2 * i + 1] - high[2 * i + 1];
    low[2 * i] = re * t[2 * i] - im * t[2 * i + 1];
    low[2 * i + 1] = re * t[2 * i + 1] + im * t[2 * i];
  }
}

}  // namespace

class BandedFourier::Scratch {
 public:
  Scratch(int width, int line)
      : samples(zeros<float>(static_cast<std::size_t>(kRows * up_to_sixteen(width)))),
        lines(zeros<Value>(static_cast<std::size_t>(kRows * line))) {}
  Buffer<float> samples;  // rows of a picture
  Buffer<Value> lines;    // their half spectra
};

struct BandedFourier::Plans {
  Plan row_forward;
  Plan row_inverse;
  Plan column_forward;
  Plan column_inverse;
  Plan half_column_inverse;  // for every second row
  Buffer<Value> half_turn;
};

BandedFourier::BandedFourier(int width, int height, int band)
    : width_(width), height_(height), band_(band), pitch_(up_to_eight(height)) {
  const auto row = zeros<float>(static_cast<std::size_t>(width));
  const auto line = zeros<Value>(static_cast<std::size_t>(width / 2 + 1));
  const auto column = zeros<Value>(static_cast<std::size_t>(height));
  const std::lock_guard lock(fourier_planner_lock());
  plans_ = std::make_shared<const Plans>(
      Plans{Plan(fftwf_plan_dft_r2c_1d(width, row.get(), raw(line.get()), FFTW_ESTIMATE | FFTW_PRESERVE_INPUT)),
            // Rows of a picture need not be aligned.
            Plan(fftwf_plan_dft_c2r_1d(width, raw(line.get()), row.get(),
                                       FFTW_ESTIMATE | FFTW_DESTROY_INPUT | (width % 16 == 0 ? 0U : FFTW_UNALIGNED))),
            Plan(fftwf_plan_dft_1d(height, raw(column.get()), raw(column.get()), FFTW_FORWARD, FFTW_ESTIMATE)),
            Plan(fftwf_plan_dft_1d(height, raw(column.get()), raw(column.get()), FFTW_BACKWARD, FFTW_ESTIMATE)),
            Plan(fftwf_plan_dft_1d(std::max(1, height / 2), raw(column.get()), raw(column.get()), FFTW_BACKWARD,
                                   FFTW_ESTIMATE)),
            half_turn(height)});
}

std::shared_ptr<BandedFourier::Scratch> BandedFourier::make_scratch() const {
  return std::make_shared<Scratch>(width_, up_to_eight(width_ / 2 + 1));
}

void BandedFourier::spread_rows(const float* patch, int size, Value* spectrum, Scratch& scratch) const {
  const int half = size / 2;
  const int row_pitch = up_to_sixteen(width_);
  const int line = up_to_eight(width_ / 2 + 1);
  for (int r = 0; r < kRows; ++r) {  // the empty middle of the rows
    float* row = scratch.samples.get() + r * row_pitch;
    std::fill(row + half, row + width_ - half, 0.0F);
  }
  for (int first = 0, count = 0; first < size; first += count) {
    // A block never reaches over the middle, where the patch is cut.
    count = std::min({kRows, size - first, first < half ? half - first : kRows});
    for (int r = 0; r < count; ++r) {
      const float* from = patch + static_cast<std::ptrdiff_t>(first + r) * size;
      float* row = scratch.samples.get() + r * row_pitch;
      std::copy_n(from, half, row);
      std::copy_n(from + half, half, row + width_ - half);
      fftwf_execute_dft_r2c(plans_->row_forward.get(), row, raw(scratch.lines.get() + r * line));
    }
    const int v = first < half ? first : height_ - size + first;
    for (int u = 0; u < band_; ++u) {
      Value* column = column_of(spectrum, u) + v;
      for (int r = 0; r < count; ++r) column[r] = scratch.lines[static_cast<std::size_t>(r * line + u)];
    }
  }
}

void BandedFourier::forward_column(Value* column, int size) const {
  std::fill(column + size / 2, column + height_ - size / 2, Value{});
  fftwf_execute_dft(plans_->column_forward.get(), raw(column), raw(column));
}

void BandedFourier::inverse_column(Value* column, RowChoice rows) const {
  if (sparse(rows) == 1) {
    fftwf_execute_dft(plans_->column_inverse.get(), raw(column), raw(column));
    return;
  }
  fold(column, height_, rows.first % 2 == 1, plans_->half_turn.get());
  fftwf_execute_dft(plans_->half_column_inverse.get(), raw(column), raw(column));
}

void BandedFourier::gather_rows(const Value* spectrum, float* picture, Scratch& scratch, RowChoice rows) const {
  const int line = up_to_eight(width_ / 2 + 1);
  const int step = rows.step / sparse(rows);  // in the columns, whose first sample is row first % sparse
  for (int first = rows.first; first < height_; first += kRows * rows.step) {
    const int count = std::min(kRows, (height_ - first + rows.step - 1) / rows.step);
    for (int u = 0; u < band_; ++u) {
      const Value* column = spectrum + static_cast<std::ptrdiff_t>(u) * pitch_ + first / sparse(rows);
      for (int r = 0; r < count; ++r) scratch.lines[static_cast<std::size_t>(r * line + u)] = column[r * step];
    }
    for (int r = 0; r < count; ++r) {
      Value* half_spectrum = scratch.lines.get() + r * line;
      std::fill(half_spectrum + band_, half_spectrum + width_ / 2 + 1, Value{});
      fftwf_execute_dft_c2r(plans_->row_inverse.get(), raw(half_spectrum),
                            picture + static_cast<std::ptrdiff_t>(first + r * rows.step) * width_);
    }
  }
}

void BandedFourier::forward_patch(const float* patch, int size, Value* spectrum, Scratch& scratch) const {
  spread_rows(patch, size, spectrum, scratch);
  for (int u = 0; u < band_; ++u) forward_column(column_of(spectrum, u), size);
}

void BandedFourier::inverse(Value* spectrum, float* picture, Scratch& scratch, RowChoice rows) const {
  for (int u = 0; u < band_; ++u) inverse_column(column_of(spectrum, u), rows);
  gather_rows(spectrum, picture, scratch, rows);
}

void BandedFourier::filter_patch(const float* patch, int size, const Filter& filter, Value* spectrum, float* picture,
                                 Scratch& scratch, RowChoice rows) const {
  spread_rows(patch, size, spectrum, scratch);
  for (int u = 0; u < band_; ++u) {
    Value* column = column_of(spectrum, u);
    forward_column(column, size);
    filter(u, column);
    inverse_column(column, rows);
  }
  gather_rows(spectrum, picture, scratch, rows);
}

}  // namespace halfarc
