#include "halfarc/advise/gain.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>

#include "halfarc/budget/causes.h"

namespace halfarc {
namespace {

constexpr std::array kWaves{0.0, 0.08, 0.16, 0.25, 0.35, 0.5, 0.7, 1.0, 1.5, 2.0, 3.0};
constexpr double kWorst = 0.01;  // contrast below which nothing is told apart

void add(ContrastCurve& curve, double size, const Blur& blur) {
  const double best = curve.contrast.empty() ? 1.0 : curve.contrast.back();
  curve.size.push_back(size);
  curve.contrast.push_back(std::clamp(half_arc_contrast(blur).value, kWorst, best));
}

ContrastCurve wavefront_curve(Cause cause, double Wavefront::*error, const Pupil& pupil, Length wavelength) {
  ContrastCurve curve;
  for (const double waves : kWaves) {
    Wavefront wavefront;
    wavefront.wavelength = wavelength;
    wavefront.*error = waves;
    add(curve, waves, wavefront_blur(cause, pupil, wavelength, wavefront));
  }
  return curve;
}

}  // namespace

double ContrastCurve::at(double one) const {
  const auto after = std::upper_bound(size.begin(), size.end(), one);
  if (after == size.end()) return contrast.back();
  const auto i = static_cast<std::size_t>(after - size.begin());
  const double share = (one - size[i - 1]) / (size[i] - size[i - 1]);
  return contrast[i - 1] + share * (contrast[i] - contrast[i - 1]);
}

ContrastCurve coma_curve(const Pupil& pupil, Length wavelength) {
  return wavefront_curve(Cause::collimation, &Wavefront::coma_x, pupil, wavelength);
}

ContrastCurve defocus_curve(const Pupil& pupil, Length wavelength) {
  return wavefront_curve(Cause::focus, &Wavefront::defocus, pupil, wavelength);
}

ContrastCurve colour_curve(double inside) {
  ContrastCurve curve;
  for (int i = 0; i <= 60; ++i) {
    const double arcsec = 0.05 * i;
    add(curve, arcsec, inside_colour_blur({Angle::arcsec(inside * arcsec), {}}));
  }
  return curve;
}

Measured<double> expected_gain(const ContrastCurve& curve, const BeforeAfter& states) {
  using Vector = Eigen::Vector4d;
  const Eigen::Map<const Eigen::Matrix<double, 4, 4, Eigen::RowMajor>> covariance(states.covariance.data());
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix4d> axes{Eigen::Matrix4d(covariance)};
  const Vector steps = (3.0 * axes.eigenvalues().cwiseMax(0.0)).cwiseSqrt();
  double now = 0.0, change = 0.0, change2 = 0.0;
  for (int point = 0; point < 81; ++point) {
    Vector state(states.mean.data());
    double weight = 1.0;
    for (int axis = 0, rest = point; axis < 4; ++axis, rest /= 3) {
      const int side = rest % 3 - 1;
      weight *= side == 0 ? 2.0 / 3.0 : 1.0 / 6.0;
      state += axes.eigenvectors().col(axis) * (side * steps(axis));
    }
    const double before = curve.at(std::hypot(state(0), state(1)));
    const double more = curve.at(std::hypot(state(2), state(3))) - before;
    now += weight * before;
    change += weight * more;
    change2 += weight * more * more;
  }
  return {change / now, std::sqrt(std::max(0.0, change2 - change * change)) / now};
}

}  // namespace halfarc
