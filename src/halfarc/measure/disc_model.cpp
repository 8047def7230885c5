#include "halfarc/measure/disc_model.h"

#include <algorithm>
#include <cmath>

namespace halfarc::disc_model {
namespace {

constexpr std::array kDrawnAgain{kRadius, kPole, kSigma, kForm};  // to know what bending them does

}  // namespace

bool Samples::fitted(int i) const {
  if (i == kPole) return turns;
  if (i == kInnerRing || i == kOuterRing) return ring;
  if (i >= kMarkings + kSpots) return belts;
  return i < kMarkings + spots;
}

int Samples::free() const {
  int n = 0;
  for (int i = 0; i < kCount; ++i) n += fitted(i) ? 1 : 0;
  return n;
}

Part part_about(const SamplePlane& plane, PixelPoint centre, double reach) {
  constexpr int kWhole = 16;  // transforms are quick at such sizes
  const auto along = [reach](double middle, int size) {
    const int wide = std::min(size, kWhole * static_cast<int>(std::ceil(2.0 * reach / kWhole)));
    return std::pair{std::clamp(static_cast<int>(std::lround(middle)) - wide / 2, 0, size - wide), wide};
  };
  const auto [left, width] = along(centre.x, plane.value.width());
  const auto [top, height] = along(centre.y, plane.value.height());
  return {left, top, width, height};
}

Samples bin_samples(const SamplePlane& plane, const Part& part, int bin) {
  Samples s;
  s.width = part.width / bin;
  s.height = part.height / bin;
  for (int row = 0; row < s.height; ++row) {
    for (int column = 0; column < s.width; ++column) {
      double w = 0.0, value = 0.0, px = 0.0, py = 0.0;
      for (int y = row * bin; y < (row + 1) * bin; ++y) {
        for (int x = column * bin; x < (column + 1) * bin; ++x) {
          const int u = part.left + x, v = part.top + y;
          const auto weight = static_cast<double>(plane.weight(u, v));
          if (!(weight > 0.0)) continue;
          w += weight;
          value += weight * static_cast<double>(plane.value(u, v));
          px += weight * (x + (plane.beside_x.empty() ? 0.0 : static_cast<double>(plane.beside_x(u, v))));
          py += weight * (y + (plane.beside_y.empty() ? 0.0 : static_cast<double>(plane.beside_y(u, v))));
        }
      }
      if (!(w > 0.0)) continue;
      const double half = 0.5 * (bin - 1);
      s.all.push_back({column, row, (px / w - half) / bin - column, (py / w - half) / bin - row, value / w, w});
    }
  }
  return s;
}

Model::Model(const DiscShape& shape, bool mirrored, const Samples& samples, const Parameters& p, bool bends,
             Threads threads)
    : samples_(samples), p_(p), bends_(bends) {
  const auto drawn = [&](const Parameters& q) {
    return DiscBlur(
        draw_disc(shape, {{q[kX], q[kY]}, q[kRadius], Angle::rad(q[kPole]), mirrored}, samples.width, samples.height));
  };
  const DiscBlur here = drawn(p);
  base_ = here.at(p[kSigma], p[kForm], samples.telescope.get());
  if (!bends) return;
  parallel_for(kDrawnAgain.size(), threads, [&](std::size_t k) {
    const auto i = static_cast<std::size_t>(kDrawnAgain[k]);
    if (!samples.fitted(kDrawnAgain[k])) return;
    Parameters q = p;
    q[i] += step(kDrawnAgain[k]);
    further_[i] = i == kRadius || i == kPole ? drawn(q).at(q[kSigma], q[kForm], samples.telescope.get())
                                             : here.at(q[kSigma], q[kForm], samples.telescope.get());
  });
}

double Model::at(const Sample& s, Parameters* gradient) const {
  const double x = (s.column + s.dx - p_[kX]) / p_[kRadius], y = (s.row + s.dy - p_[kY]) / p_[kRadius];
  const Markings marks = markings_at(x, y, p_[kPole]);
  const double uneven = brightness(marks);
  const Read here = light(base_, uneven, s);
  if (gradient == nullptr) return here.value;
  Parameters& g = *gradient;
  g.fill(0.0);
  if (bends_) {
    for (const int i : kDrawnAgain) {
      if (!samples_.fitted(i)) continue;
      const bool with_belts = i == kPole && samples_.belts;  // they turn too
      const double there = with_belts ? brightness(markings_at(x, y, p_[kPole] + step(i))) : uneven;
      const auto k = static_cast<std::size_t>(i);
      g[k] = (light(further_[k], there, s).value - here.value) / step(i);
    }
    g[kX] = -here.x;
    g[kY] = -here.y;
  }
  const double flat = read(base_.flat, s).value, domed = read(base_.domed, s).value;
  g[kBackground] = 1.0;
  g[kFlat] = uneven * flat;
  g[kDomed] = uneven * domed;
  if (samples_.ring) {
    g[kInnerRing] = read(base_.inner_ring, s).value;
    g[kOuterRing] = read(base_.outer_ring, s).value;
  }
  const double globe = p_[kFlat] * flat + p_[kDomed] * domed;
  for (std::size_t i = 0; i < marks.size(); ++i) {
    if (samples_.fitted(kMarkings + static_cast<int>(i))) g[kMarkings + i] = globe * marks[i];
  }
  return here.value;
}

// A picture at a place beside a cell's centre, by a quadratic through its neighbours; and its slopes there.
Model::Read Model::read(const Plane<float>& p, const Sample& s) {
  const int w = p.width(), h = p.height();
  const std::array<int, 3> columns{s.column > 0 ? s.column - 1 : w - 1, s.column, s.column + 1 < w ? s.column + 1 : 0};
  const std::array<const float*, 3> rows{p.row(s.row > 0 ? s.row - 1 : h - 1), p.row(s.row),
                                         p.row(s.row + 1 < h ? s.row + 1 : 0)};
  const auto at = [&](int dx, int dy) {
    return static_cast<double>(rows[static_cast<std::size_t>(dy + 1)][columns[static_cast<std::size_t>(dx + 1)]]);
  };
  const double c = at(0, 0), l = at(-1, 0), r = at(1, 0), u = at(0, -1), d = at(0, 1);
  const double gx = 0.5 * (r - l), gy = 0.5 * (d - u), gxx = r - 2.0 * c + l, gyy = d - 2.0 * c + u;
  const double gxy = 0.25 * (at(1, 1) - at(-1, 1) - at(1, -1) + at(-1, -1));
  return {c + s.dx * (gx + 0.5 * s.dx * gxx) + s.dy * (gy + 0.5 * s.dy * gyy) + s.dx * s.dy * gxy,
          gx + s.dx * gxx + s.dy * gxy, gy + s.dy * gyy + s.dx * gxy};
}

Model::Read Model::light(const DiscPictures& pictures, double markings, const Sample& s) const {
  Read sum{p_[kBackground], 0.0, 0.0};
  const auto add = [&](const Plane<float>& picture, double strength) {
    const Read r = read(picture, s);
    sum.value += strength * r.value;
    sum.x += strength * r.x;
    sum.y += strength * r.y;
  };
  add(pictures.flat, markings * p_[kFlat]);
  add(pictures.domed, markings * p_[kDomed]);
  if (samples_.ring) {
    add(pictures.inner_ring, p_[kInnerRing]);
    add(pictures.outer_ring, p_[kOuterRing]);
  }
  return sum;
}

// Waves over the disc, 1 at most: Zernike's without the round ones, which are the laws' own, and belts, Chebyshev's
// polynomials of the height above the equator. Beyond the limb they go on as at the limb.
Model::Markings Model::markings_at(double x, double y, double pole) const {
  const double r = std::sqrt(x * x + y * y);
  const double beyond = std::max(1.0, r);
  x /= beyond;
  y /= beyond;
  const double r2 = x * x + y * y;
  const double c2 = x * x - y * y, s2 = 2.0 * x * y, c3 = x * c2 - y * s2, s3 = x * s2 + y * c2;
  Markings m{x,
             y,
             c2,
             s2,
             c3,
             s3,
             (3.0 * r2 - 2.0) * x,
             (3.0 * r2 - 2.0) * y,
             c2 * c2 - s2 * s2,
             2.0 * c2 * s2,
             (4.0 * r2 - 3.0) * c2,
             (4.0 * r2 - 3.0) * s2};
  if (!samples_.belts) return m;
  const double v = std::clamp(x * std::sin(pole) - y * std::cos(pole), -1.0, 1.0);
  double before = 1.0, now = v;
  for (int k = 2; k < 5 + kBelts; ++k) {
    const double next = 2.0 * v * now - before;
    before = now;
    now = next;
    if (k >= 5) m[static_cast<std::size_t>(kSpots + k - 5)] = now;
  }
  return m;
}

double Model::brightness(const Markings& markings) const {
  double sum = 1.0;
  for (std::size_t i = 0; i < markings.size(); ++i) {
    if (samples_.fitted(kMarkings + static_cast<int>(i))) sum += p_[kMarkings + i] * markings[i];
  }
  return sum;
}

double Model::step(int i) const { return i == kPole ? 0.2 / p_[kRadius] : i == kForm ? 0.02 : 0.05; }

}  // namespace halfarc::disc_model
