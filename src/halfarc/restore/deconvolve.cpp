#include "halfarc/restore/deconvolve.h"

#include <algorithm>
#include <cmath>
#include <complex>

#include "halfarc/base/fourier.h"

namespace halfarc {
namespace {

constexpr float kLeastPrediction = 1e-6F;

// Mean Poisson log likelihood per sample of `data` under `prediction`, without the term that the data alone fix.
double mean_log_likelihood(const Plane<float>& data, const Plane<float>& prediction) {
  double sum = 0.0;
  for (std::size_t i = 0; i < data.count(); ++i) {
    const double m = static_cast<double>(std::max(prediction.samples()[i], kLeastPrediction));
    sum += static_cast<double>(data.samples()[i]) * std::log(m) - m;
  }
  return sum / static_cast<double>(data.count());
}

Plane<float> with_background(View<const float> data, float background) {
  Plane<float> out(data.width(), data.height());
  for (int y = 0; y < data.height(); ++y) {
    for (int x = 0; x < data.width(); ++x) out(x, y) = std::max(0.0F, data(x, y)) + background;
  }
  return out;
}

}  // namespace

RichardsonLucy::RichardsonLucy(View<const float> data, const Transfer& blur, float background)
    : data_(with_background(data, background)),
      transfer_(data.width() / 2 + 1, data.height()),
      picture_(data.width(), data.height()),
      background_(background) {
  Spectrum frequencies;
  frequencies.width = data.width();
  frequencies.height = data.height();
  for (int ky = 0; ky < transfer_.height(); ++ky) {
    for (int kx = 0; kx < transfer_.width(); ++kx) {
      transfer_(kx, ky) = static_cast<float>(blur(frequencies.fx(kx), frequencies.fy(ky)));
    }
  }
  // A flat start of the data's own mean commits to nothing.
  double sum = 0.0;
  for (const float v : data_.samples()) sum += static_cast<double>(v);
  const float start = static_cast<float>(sum / static_cast<double>(data_.count())) - background;
  std::fill(picture_.samples().begin(), picture_.samples().end(), std::max(start, kLeastPrediction));
}

Plane<float> RichardsonLucy::convolve(const Plane<float>& in) const {
  Spectrum s = spectrum_of(in);
  for (std::size_t i = 0; i < transfer_.count(); ++i) s.values.samples()[i] *= transfer_.samples()[i];
  return picture_of(s);
}

Plane<float> RichardsonLucy::prediction() const {
  Plane<float> p = convolve(picture_);
  for (float& v : p.samples()) v = std::max(v, 0.0F) + background_;
  return p;
}

void RichardsonLucy::step() {
  Plane<float> ratio = prediction();
  for (std::size_t i = 0; i < ratio.count(); ++i) {
    ratio.samples()[i] = data_.samples()[i] / std::max(ratio.samples()[i], kLeastPrediction);
  }
  const Plane<float> correction = convolve(ratio);
  for (std::size_t i = 0; i < ratio.count(); ++i) picture_.samples()[i] *= std::max(correction.samples()[i], 0.0F);
}

StoppedDeconvolution supported_iterations(View<const float> half_a, View<const float> half_b, const Transfer& blur,
                                          float background, int most, int patience) {
  RichardsonLucy a(half_a, blur, background);
  RichardsonLucy b(half_b, blur, background);
  const Plane<float> data_a = with_background(half_a, background);
  const Plane<float> data_b = with_background(half_b, background);
  StoppedDeconvolution result;
  double best = -1e300;
  for (int i = 1; i <= most && i <= result.iterations + patience; ++i) {
    a.step();
    b.step();
    const double both =
        0.5 * (mean_log_likelihood(data_b, a.prediction()) + mean_log_likelihood(data_a, b.prediction()));
    result.prediction.push_back(both);
    if (both > best) {
      best = both;
      result.iterations = i;
      result.half_a = a.picture().copy();
      result.half_b = b.picture().copy();
    }
  }
  return result;
}

Plane<float> richardson_lucy(View<const float> data, const Transfer& blur, float background, int iterations) {
  RichardsonLucy rl(data, blur, background);
  for (int i = 0; i < iterations; ++i) rl.step();
  return rl.picture().copy();
}

}  // namespace halfarc
