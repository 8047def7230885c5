#include "halfarc/measure/blurred_star.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include "halfarc/base/fourier.h"
#include "halfarc/optics/sampled_pupil.h"

namespace halfarc {
namespace {

using std::numbers::pi;
using Value = std::complex<float>;

// The next size whose only factors are 2, 3 and 5: transforms of such sizes are fast.
int fast_size(int least) {
  for (int n = least + least % 2;; n += 2) {
    int rest = n;
    for (const int f : {2, 3, 5}) {
      while (rest % f == 0) rest /= f;
    }
    if (rest == 1) return n;
  }
}

float sinc(double x) { return static_cast<float>(std::abs(x) < 1e-9 ? 1.0 : std::sin(pi * x) / (pi * x)); }

// The term's part of the path at a place in the pupil, per wave of the term.
float shape(std::size_t term, float x, float y) {
  const float rr = x * x + y * y;
  switch (term) {
    case kDefocus:
      return rr;
    case kComaX:
      return rr * x;
    case kComaY:
      return rr * y;
    case kAstigmatism:
      return x * x - y * y;
    case kAstigmatism45:
      return 2.0F * x * y;
    default:
      return rr * rr;  // kSpherical
  }
}

constexpr std::size_t kOfOptics = kSpherical + 1;  // the terms of the wavefront come first

}  // namespace

BlurredStar::BlurredStar(const Pupil& pupil, Length wavelength, PlateScale scale, int size) : size_(size) {
  const Angle pixel = scale.angle(1.0);
  fold_ = std::max(1, static_cast<int>(std::ceil(pixel / critical_pitch(pupil, wavelength) - 1e-9)));
  grid_ = fast_size(size * fold_ * 5 / 4);
  const SampledPupil sampled(pupil, wavelength, pixel * (1.0 / fold_), grid_);
  const double radius = 0.5 * pupil.diameter.m();
  for (std::size_t i = 0; i < sampled.points().size(); ++i) {
    const PupilPoint& p = sampled.points()[i];
    const int column = static_cast<int>(std::lround(p.x / sampled.cell())) + grid_ / 2;
    const int row = static_cast<int>(std::lround(p.y / sampled.cell())) + grid_ / 2;
    const float open = sampled.openness()[i];
    cells_.push_back(
        {row * grid_ + column, open, static_cast<float>(p.x.m() / radius), static_cast<float>(p.y.m() / radius)});
    light_ += open * open;
  }
  // Parseval: over the whole grid the squared modulus sums to the number of samples times the light in the pupil.
  light_ *= static_cast<float>(grid_) * static_cast<float>(grid_);

  const int columns = grid_ / 2 + 1;
  bins_.reserve(half_spectrum_size(grid_, grid_));
  for (int row = 0; row < grid_; ++row) {
    for (int column = 0; column < columns; ++column) {
      const double fx = static_cast<double>(column * fold_) / grid_;
      const double fy = static_cast<double>((2 * row > grid_ ? row - grid_ : row) * fold_) / grid_;
      const double metres = wavelength.m() * std::hypot(fx, fy) / pixel.rad();  // lambda nu
      bins_.push_back({static_cast<float>(fx), static_cast<float>(fy), sinc(fx) * sinc(fy),
                       static_cast<float>(3.44 * std::pow(metres, 5.0 / 3.0)),
                       static_cast<float>(std::cbrt(std::min(1.0, metres / pupil.diameter.m())))});
    }
  }
}

void BlurredStar::draw(const StarTerms& terms, Plane<float>& picture,
                       std::array<Plane<float>, kStarTerms>* slopes) const {
  const auto samples = static_cast<std::size_t>(grid_) * static_cast<std::size_t>(grid_);
  const auto bins = static_cast<int>(bins_.size());
  Plane<Value> field(grid_, grid_), turned(grid_, grid_), sharp(bins, 1), blurred(bins, 1);
  Plane<float> grid(grid_, grid_);

  std::vector<Value> open(cells_.size());
  for (std::size_t i = 0; i < cells_.size(); ++i) {
    double waves = 0.0;
    for (std::size_t t = 0; t < kOfOptics; ++t)
      waves += terms[t] * static_cast<double>(shape(t, cells_[i].x, cells_[i].y));
    open[i] = std::polar(cells_[i].open, static_cast<float>(2.0 * pi * waves));
    field.data()[cells_[i].index] = open[i];
  }
  fourier_forward(grid_, grid_, field.data());

  // What air, pixel and place make of the spectrum.
  std::vector<Value> transfer(bins_.size());
  const float strength = static_cast<float>(std::exp(-5.0 / 3.0 * terms[kLogR0]));
  const auto aligned = static_cast<float>(terms[kAligned]);
  for (std::size_t b = 0; b < bins_.size(); ++b) {
    const Bin& f = bins_[b];
    const double turn =
        -2.0 * pi * (terms[kStarX] * static_cast<double>(f.fx) + terms[kStarY] * static_cast<double>(f.fy));
    const float left = f.pixel * std::exp(-f.steep * strength * std::max(0.0F, 1.0F - aligned * f.lessens));
    transfer[b] = std::polar(left, static_cast<float>(turn));
  }

  // The picture's pixels out of the grid, whose sample 0 is the middle pixel.
  const auto crop = [&](Plane<float>& out) {
    if (out.width() != size_ || out.height() != size_) out = Plane<float>(size_, size_);
    const float scale = static_cast<float>(fold_) * static_cast<float>(fold_);
    for (int y = 0; y < size_; ++y) {
      const float* row = grid.row(((y - size_ / 2) * fold_ + grid_) % grid_);
      for (int x = 0; x < size_; ++x) out(x, y) = scale * row[((x - size_ / 2) * fold_ + grid_) % grid_];
    }
  };
  const auto finish = [&](Plane<float>& out, auto factor) {
    for (std::size_t b = 0; b < bins_.size(); ++b) blurred.data()[b] = sharp.data()[b] * transfer[b] * factor(bins_[b]);
    fourier_inverse(grid_, grid_, blurred.data(), grid.data());
    crop(out);
  };
  const auto as_it_is = [](const Bin&) { return 1.0F; };

  for (std::size_t i = 0; i < samples; ++i) grid.data()[i] = std::norm(field.data()[i]) / light_;
  fourier_forward(grid_, grid_, grid.data(), sharp.data());
  finish(picture, as_it_is);
  if (slopes == nullptr) return;

  finish((*slopes)[kLogR0],
         [&](const Bin& f) { return 5.0F / 3.0F * f.steep * strength * std::max(0.0F, 1.0F - aligned * f.lessens); });
  finish((*slopes)[kAligned], [&](const Bin& f) { return f.steep * strength * f.lessens; });
  finish((*slopes)[kStarX], [](const Bin& f) { return Value(0.0F, static_cast<float>(-2.0 * pi) * f.fx); });
  finish((*slopes)[kStarY], [](const Bin& f) { return Value(0.0F, static_cast<float>(-2.0 * pi) * f.fy); });
  for (std::size_t t = 0; t < kOfOptics; ++t) {
    std::fill(turned.samples().begin(), turned.samples().end(), Value{});
    for (std::size_t i = 0; i < cells_.size(); ++i) {
      const float slope = static_cast<float>(2.0 * pi) * shape(t, cells_[i].x, cells_[i].y);
      turned.data()[cells_[i].index] = open[i] * Value(0.0F, slope);
    }
    fourier_forward(grid_, grid_, turned.data());
    for (std::size_t i = 0; i < samples; ++i) {
      const Value &a = field.data()[i], &b = turned.data()[i];
      grid.data()[i] = 2.0F * (a.real() * b.real() + a.imag() * b.imag()) / light_;
    }
    fourier_forward(grid_, grid_, grid.data(), sharp.data());
    finish((*slopes)[t], as_it_is);
  }
}

}  // namespace halfarc
