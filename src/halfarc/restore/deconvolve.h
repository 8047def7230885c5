// Deconvolution by maximum likelihood: the picture, nowhere negative, that best explains the counts.
//
// Richardson-Lucy iteration for data y = H x + background with Poisson noise:
//     x <- x * H^T (y / (H x)) / H^T 1.
// It keeps the light and never goes below zero, so dark sky stays dark beside a bright limb. Run too long it turns
// noise into texture; so the number of iterations is not a choice but a measurement: the half that is restored must go
// on predicting the other, independent half better. The iteration stops where that prediction is best.
// Source: [Richardson1972], [Lucy1974]; stopping by prediction of independent data is cross-validation [Stone1974].
#pragma once

#include <vector>

#include "halfarc/frames/plane.h"
#include "halfarc/restore/wiener.h"

namespace halfarc {

// Richardson-Lucy with a symmetric transfer function, periodic borders. `data` in units of equal noise per count
// (electrons, or ADU); values below `floor` are taken as `floor`. Flux is conserved, the result is >= 0.
class RichardsonLucy {
 public:
  // `background` is a constant that is part of the data but not of the picture; it keeps dark sky well behaved.
  RichardsonLucy(View<const float> data, const Transfer& blur, float background);

  void step();  // one iteration
  const Plane<float>& picture() const { return picture_; }
  Plane<float> prediction() const;  // H x + background

 private:
  Plane<float> convolve(const Plane<float>& in) const;
  Plane<float> data_;
  Plane<float> transfer_;  // on the half spectrum
  Plane<float> picture_;
  float background_;
};

struct StoppedDeconvolution {
  int iterations = 0;              // where prediction of the other half was best
  std::vector<double> prediction;  // mean log likelihood of the other half per sample, one an iteration
  Plane<float> half_a, half_b;     // both halves as they stood there
};

// How many iterations the halves support: each half is restored and predicts the other; both are averaged. Stops when
// the prediction has not improved for `patience` iterations, or at `most`.
StoppedDeconvolution supported_iterations(View<const float> half_a, View<const float> half_b, const Transfer& blur,
                                          float background, int most = 200, int patience = 5);

// `data` restored by `iterations` steps.
Plane<float> richardson_lucy(View<const float> data, const Transfer& blur, float background, int iterations);

}  // namespace halfarc
