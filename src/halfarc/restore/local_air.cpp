#include "halfarc/restore/local_air.h"

#include <Eigen/Dense>

#include <algorithm>
#include <array>
#include <cmath>

namespace halfarc {
namespace {

using Matrix = Eigen::MatrixXd;
using Vector = Eigen::VectorXd;

constexpr std::size_t kLeastFrames = 24;
constexpr std::size_t kLeastProbes = 6;
constexpr double kWorthUndoing = 0.25;  // pixels rms: less changes no picture, and the shapes of spreads do as much
constexpr int kMostDropped = 12;        // readings of one frame
constexpr double kFar = 5.0;            // standard deviations from what the neighbours say: not believed
constexpr double kMostOwn = 0.99;       // of a field at a probe that may come from this probe's own reading
constexpr double kLeastBelieved = 0.1;  // pixels: an error that any reading may have

double falls(double r, double reach) { return std::exp(-std::pow(r / reach, 5.0 / 3.0)); }

double dot(PixelOffset a, PixelOffset b) { return a.x * b.x + a.y * b.y; }

// The scatter of the frames' readings about their means: covariance, and how sure it is.
struct Scatter {
  Vector mean;
  Matrix covariance;
  Matrix departures;  // one frame a column; those that are not believed are 0
};

double middle_of(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

// One probe's readings in all frames: the middle, and how far from it they are believed.
struct Spread {
  double middle = 0.0, most = 0.0;
  bool believed(double v) const { return std::abs(v - middle) <= most; }
};

Spread spread_of(const std::vector<double>& values) {
  const double middle = middle_of(values);
  std::vector<double> away;
  for (const double v : values) away.push_back(std::abs(v - middle));
  return {middle, kFar * std::max(1.4826 * middle_of(away), kLeastBelieved)};
}

double mean_of_believed(const std::vector<double>& values) {
  const Spread spread = spread_of(values);
  double sum = 0.0, count = 0.0;
  for (const double v : values) {
    if (!spread.believed(v)) continue;
    sum += v;
    count += 1.0;
  }
  return sum / count;
}

Scatter scatter_of(std::span<const Readings> frames, std::size_t probes) {
  const auto n = static_cast<Eigen::Index>(frames.size()), p = static_cast<Eigen::Index>(probes);
  Scatter s{Vector(p), Matrix(p, p), Matrix(p, n)};
  for (Eigen::Index k = 0; k < p; ++k) {
    std::vector<double> values;
    for (const Readings& frame : frames) values.push_back(static_cast<double>(frame[static_cast<std::size_t>(k)]));
    const Spread spread = spread_of(values);
    s.mean[k] = mean_of_believed(values);
    for (Eigen::Index f = 0; f < n; ++f) {
      const double v = values[static_cast<std::size_t>(f)];
      s.departures(k, f) = spread.believed(v) ? v - s.mean[k] : 0.0;
    }
  }
  s.covariance = s.departures * s.departures.transpose() / static_cast<double>(std::max<Eigen::Index>(1, n - 1));
  return s;
}

// The strengths v, c and of the noise that fit the covariance best for one reach, by weighted least squares.
struct Strengths {
  double air = 0.0, shared = 0.0, noise = 0.0;
  double misfit = 0.0;
};

Strengths fit(const Matrix& measured, const Matrix& air, const Matrix& along, const Matrix& noise) {
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  Eigen::Vector3d right = Eigen::Vector3d::Zero();
  double all = 0.0;
  for (Eigen::Index j = 0; j < measured.rows(); ++j) {
    for (Eigen::Index k = 0; k <= j; ++k) {
      // The variance of a covariance of normal values, but for the number of frames.
      const double weight = 1.0 / (measured(j, j) * measured(k, k) + measured(j, k) * measured(j, k));
      const Eigen::Vector3d terms{air(j, k), along(j, k), noise(j, k)};
      normal += weight * terms * terms.transpose();
      right += weight * terms * measured(j, k);
      all += weight * measured(j, k) * measured(j, k);
    }
  }
  normal.diagonal() *= 1.0 + 1e-9;
  const Eigen::Vector3d found = normal.ldlt().solve(right);
  return {found[0], found[1], found[2], all - right.dot(found)};
}

}  // namespace

struct LocalAir::Inside {
  Vector mean;             // of the readings
  Matrix smooth;           // readings to what the field says at the probes
  Matrix to_nodes;         // readings to the field: x of all nodes, then y
  Vector own;              // the share of a reading in what the field says at its probe
  Vector believed;         // how far a reading may lie from what all others say
  int across = 0, down = 0, spacing = 1;
  double undone = 0.0, left = 0.0, rms = 0.0, reach = 0.0;
};

LocalAir::LocalAir() = default;

LocalAir::LocalAir(std::span<const Probe> probes, std::span<const Readings> frames, int width, int height,
                   int spacing) {
  if (probes.size() < kLeastProbes || frames.size() < kLeastFrames) return;
  const auto p = static_cast<Eigen::Index>(probes.size());
  const auto probe = [&](Eigen::Index k) -> const Probe& { return probes[static_cast<std::size_t>(k)]; };
  const Scatter scatter = scatter_of(frames, probes.size());
  Matrix along(p, p), distance(p, p), noise(p, p);
  for (Eigen::Index j = 0; j < p; ++j) {
    if (!(scatter.covariance(j, j) > 0.0)) return;
    for (Eigen::Index k = 0; k <= j; ++k) {
      along(j, k) = along(k, j) = dot(probe(j).direction, probe(k).direction);
      distance(j, k) = distance(k, j) = (probe(j).place - probe(k).place).length();
      noise(j, k) = noise(k, j) = shared_noise(probe(j), probe(k));
    }
  }
  Strengths best;
  double reach = 0.0;
  for (double l = spacing; l < 2.0 * std::max(width, height); l *= 1.4) {
    const Matrix air = along.array() * distance.unaryExpr([l](double r) { return falls(r, l); }).array();
    const Strengths found = fit(scatter.covariance, air, along, noise);
    if (!(found.air > 0.0) || !(found.noise > 0.0)) continue;
    if (reach == 0.0 || found.misfit < best.misfit) {
      best = found;
      reach = l;
    }
  }
  if (reach == 0.0) return;

  auto inside = std::make_shared<Inside>();
  const Matrix air = best.air * along.array() * distance.unaryExpr([&](double r) { return falls(r, reach); }).array();
  const Matrix all = air + best.noise * noise;
  const Eigen::LDLT<Matrix> solver(all);
  inside->smooth = solver.solve(air).transpose();
  const Matrix said = inside->smooth * scatter.departures;
  inside->undone = said.squaredNorm() / static_cast<double>(said.size());
  if (!(inside->undone > kWorthUndoing * kWorthUndoing)) return;
  const Matrix unknown = air - inside->smooth * air;
  inside->left = std::sqrt(std::max(0.0, unknown.diagonal().mean()));
  inside->mean = scatter.mean;
  inside->rms = std::sqrt(best.air);
  inside->reach = reach;
  inside->own = inside->smooth.diagonal().cwiseMin(kMostOwn);
  const Vector apart =
      ((scatter.departures - said).rowwise().squaredNorm() / static_cast<double>(frames.size())).cwiseSqrt();
  inside->believed = kFar * (apart.array() / (1.0 - inside->own.array())).max(kLeastBelieved).matrix();
  inside->spacing = spacing;
  inside->across = width / spacing + 2;
  inside->down = height / spacing + 2;
  const Eigen::Index nodes = static_cast<Eigen::Index>(inside->across) * inside->down;
  Matrix to_air(2 * nodes, p);
  for (Eigen::Index n = 0; n < nodes; ++n) {
    const PixelPoint place{static_cast<double>(n % inside->across * spacing),
                           static_cast<double>(n / inside->across * spacing)};
    for (Eigen::Index k = 0; k < p; ++k) {
      const double shared = best.air * falls((probe(k).place - place).length(), reach);
      to_air(n, k) = shared * probe(k).direction.x;
      to_air(nodes + n, k) = shared * probe(k).direction.y;
    }
  }
  inside->to_nodes = solver.solve(to_air.transpose()).transpose();
  inside_ = std::move(inside);
}

LocalAir LocalAir::about(std::span<const Readings> frames) const {
  if (!inside_ || frames.empty()) return *this;
  auto moved = std::make_shared<Inside>(*inside_);
  for (Eigen::Index k = 0; k < moved->mean.size(); ++k) {
    std::vector<double> values;
    for (const Readings& frame : frames) values.push_back(static_cast<double>(frame[static_cast<std::size_t>(k)]));
    moved->mean[k] = mean_of_believed(values);
  }
  LocalAir air;
  air.inside_ = std::move(moved);
  return air;
}

double LocalAir::undone() const { return inside_ ? inside_->undone : 0.0; }
double LocalAir::left() const { return inside_ ? inside_->left : 0.0; }
double LocalAir::rms() const { return inside_ ? inside_->rms : 0.0; }
double LocalAir::reach() const { return inside_ ? inside_->reach : 0.0; }

ShiftField LocalAir::field(std::span<const float> readings) const {
  if (!inside_) return {};
  const Inside& in = *inside_;
  Vector departures = Eigen::Map<const Eigen::VectorXf>(readings.data(), static_cast<Eigen::Index>(readings.size()))
                          .cast<double>() -
                      in.mean;
  for (int dropped = 0; dropped < kMostDropped; ++dropped) {
    // What all others say of a reading follows from what they say with it: the worst is replaced by that.
    const Vector apart = (departures - in.smooth * departures).array() / (1.0 - in.own.array());
    Eigen::Index worst = 0;
    if (!((apart.array().abs() / in.believed.array()).maxCoeff(&worst) > 1.0)) break;
    departures[worst] -= apart[worst];
  }
  const Vector nodes = in.to_nodes * departures;
  ShiftField field{in.spacing, Plane<float>(in.across, in.down), Plane<float>(in.across, in.down)};
  const auto count = static_cast<Eigen::Index>(field.x.count());
  for (Eigen::Index n = 0; n < count; ++n) {
    field.x.samples()[static_cast<std::size_t>(n)] = static_cast<float>(nodes[n]);
    field.y.samples()[static_cast<std::size_t>(n)] = static_cast<float>(nodes[count + n]);
  }
  return field;
}

}  // namespace halfarc
