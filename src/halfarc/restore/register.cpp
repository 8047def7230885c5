#include "halfarc/restore/register.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace halfarc {
namespace {

constexpr double kTurn = 2.0 * std::numbers::pi;
constexpr double kLeastWeight = 0.02;               // terms weaker than this in the band limit are left out
constexpr double kFineFrom = 0.06, kFineTo = 0.20;  // cycles per pixel: detail of 5 to 17 pixels
constexpr double kConverged = 1e-4;                 // pixels
constexpr int kMostSteps = 8;

// exp(2 pi i f offset) for the frequencies of a row, real and imaginary parts apart, and the angular frequencies.
struct Phases {
  std::vector<float> re, im, omega;
  Phases(const Spectrum& s, double offset) {
    for (int k = 0; k < s.values.width(); ++k) {
      const double turn = kTurn * s.fx(k);
      re.push_back(static_cast<float>(std::cos(turn * offset)));
      im.push_back(static_cast<float>(std::sin(turn * offset)));
      omega.push_back(static_cast<float>(turn));
    }
  }
};

// Sums over one row of z, z omega and z omega^2, z being value times phase.
struct RowSums {
  std::complex<double> zero, one, two;
};

RowSums row_sums(const float* re, const float* im, const Phases& phases, int count) {
  float r0 = 0.0F, i0 = 0.0F, r1 = 0.0F, i1 = 0.0F, r2 = 0.0F, i2 = 0.0F;
  const float* pr = phases.re.data();
  const float* pi = phases.im.data();
  const float* omega = phases.omega.data();
#pragma omp simd reduction(+ : r0, i0, r1, i1, r2, i2)
  for (int k = 0; k < count; ++k) {
    const float zr = re[k] * pr[k] - im[k] * pi[k];
    const float zi = re[k] * pi[k] + im[k] * pr[k];
    r0 += zr;
    i0 += zi;
    r1 += zr * omega[k];
    i1 += zi * omega[k];
    r2 += zr * omega[k] * omega[k];
    i2 += zi * omega[k] * omega[k];
  }
  return {{static_cast<double>(r0), static_cast<double>(i0)},
          {static_cast<double>(r1), static_cast<double>(i1)},
          {static_cast<double>(r2), static_cast<double>(i2)}};
}

// The sum over one row of weight times z.
std::complex<double> weighted_sum(const float* re, const float* im, const float* weight, const Phases& phases,
                                  int count) {
  float r = 0.0F, i = 0.0F;
  const float* pr = phases.re.data();
  const float* pi = phases.im.data();
#pragma omp simd reduction(+ : r, i)
  for (int k = 0; k < count; ++k) {
    r += weight[k] * (re[k] * pr[k] - im[k] * pi[k]);
    i += weight[k] * (re[k] * pi[k] + im[k] * pr[k]);
  }
  return {static_cast<double>(r), static_cast<double>(i)};
}

}  // namespace

Reference::Reference(View<const float> picture, double band_limit) : spectrum_(spectrum_of(picture)) {
  const double total = std::abs(static_cast<double>(spectrum_.values(0, 0).real()));
  for (int ky = 0; ky < spectrum_.values.height(); ++ky) {
    Row row{ky, 0, re_.size()};
    for (int kx = 0; kx < spectrum_.values.width(); ++kx) {
      const double f = std::hypot(spectrum_.fx(kx), spectrum_.fy(ky));
      const double band = std::exp(-0.5 * (f / band_limit) * (f / band_limit));
      if (band < kLeastWeight) break;
      ++row.count;
      const std::complex<float> value = kx == 0 && ky == 0 ? std::complex<float>() : spectrum_.values(kx, ky);
      const float weight = static_cast<float>(band) * static_cast<float>(spectrum_.copies(kx));
      re_.push_back(weight * value.real());
      im_.push_back(-weight * value.imag());
      const bool fine = f >= kFineFrom && f <= kFineTo;
      fine_.push_back(fine ? 1.0F : 0.0F);
      if (fine && total > 0.0)
        fine_power_ += static_cast<double>(weight) * static_cast<double>(std::norm(value)) / total;
    }
    if (row.count > 0) rows_.push_back(row);
  }
}

PixelOffset Reference::peak(const Spectrum& frame, PixelOffset about, double reach) const {
  Spectrum cross;
  cross.width = frame.width;
  cross.height = frame.height;
  cross.values = Plane<std::complex<float>>(frame.values.width(), frame.values.height());
  for (const Row& row : rows_) {
    const std::complex<float>* from = frame.values.row(row.ky);
    std::complex<float>* to = cross.values.row(row.ky);
    for (int kx = 0; kx < row.count; ++kx) {
      const float share = 1.0F / static_cast<float>(frame.copies(kx));
      const float re = share * re_[row.begin + static_cast<std::size_t>(kx)];
      const float im = share * im_[row.begin + static_cast<std::size_t>(kx)];
      to[kx] = {from[kx].real() * re - from[kx].imag() * im, from[kx].real() * im + from[kx].imag() * re};
    }
  }
  const Plane<float> correlation = picture_of(cross);

  const int limit_x = std::min(static_cast<int>(std::ceil(reach)), frame.width / 2 - 1);
  const int limit_y = std::min(static_cast<int>(std::ceil(reach)), frame.height / 2 - 1);
  const int about_x = static_cast<int>(std::lround(about.x));
  const int about_y = static_cast<int>(std::lround(about.y));
  const auto wrap = [](int i, int n) { return ((i % n) + n) % n; };
  PixelOffset best = {static_cast<double>(about_x), static_cast<double>(about_y)};
  float most = -1e30F;
  for (int dy = about_y - limit_y; dy <= about_y + limit_y; ++dy) {
    const float* row = correlation.row(wrap(dy, frame.height));
    for (int dx = about_x - limit_x; dx <= about_x + limit_x; ++dx) {
      const float value = row[wrap(dx, frame.width)];
      if (value > most) {
        most = value;
        best = {static_cast<double>(dx), static_cast<double>(dy)};
      }
    }
  }
  return best;
}

Registration Reference::find(const Spectrum& frame, PixelOffset about, double reach) const {
  Registration result;
  result.shift = peak(frame, about, reach);
  std::vector<float> re(re_.size()), im(re_.size());  // of the correlation
  for (const Row& row : rows_) {
    const std::complex<float>* from = frame.values.row(row.ky);
    for (int kx = 0; kx < row.count; ++kx) {
      const std::size_t at = row.begin + static_cast<std::size_t>(kx);
      re[at] = from[kx].real() * re_[at] - from[kx].imag() * im_[at];
      im[at] = from[kx].real() * im_[at] + from[kx].imag() * re_[at];
    }
  }
  for (int step = 0; step < kMostSteps; ++step) {
    const Phases across(frame, result.shift.x);
    double gx = 0.0, gy = 0.0, xx = 0.0, xy = 0.0, yy = 0.0;
    for (const Row& row : rows_) {
      const RowSums sums = row_sums(re.data() + row.begin, im.data() + row.begin, across, row.count);
      const double wy = kTurn * frame.fy(row.ky);
      const std::complex<double> down = std::polar(1.0, wy * result.shift.y);
      const std::complex<double> zero = down * sums.zero, one = down * sums.one, two = down * sums.two;
      gx -= one.imag();
      gy -= wy * zero.imag();
      xx += two.real();
      xy += wy * one.real();
      yy += wy * wy * zero.real();
    }
    const double determinant = xx * yy - xy * xy;
    if (!(determinant > 0.0) || !(xx > 0.0)) break;  // not at a peak: the whole-pixel place must do
    const PixelOffset move = {std::clamp((yy * gx - xy * gy) / determinant, -0.7, 0.7),
                              std::clamp((xx * gy - xy * gx) / determinant, -0.7, 0.7)};
    result.shift = result.shift + move;
    if (move.length() < kConverged) break;
  }
  const double brightness = std::abs(static_cast<double>(frame.values(0, 0).real()));
  if (fine_power_ > 0.0 && brightness > 0.0) {
    const Phases across(frame, result.shift.x);
    double fine = 0.0;
    for (const Row& row : rows_) {
      const std::complex<double> sum =
          weighted_sum(re.data() + row.begin, im.data() + row.begin, fine_.data() + row.begin, across, row.count);
      fine += (std::polar(1.0, kTurn * frame.fy(row.ky) * result.shift.y) * sum).real();
    }
    result.likeness = fine / brightness / fine_power_;
  }
  return result;
}

}  // namespace halfarc
