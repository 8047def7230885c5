#include "halfarc/optics/sampled_pupil.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "halfarc/base/fourier.h"
#include "halfarc/optics/zernike.h"

namespace halfarc {
namespace {

// The open share of the square cell of side `cell` centred at (x, y), by a fine grid of probes.
float open_share(const Pupil& pupil, double x, double y, double cell) {
  const double outer = pupil.diameter.m() / 2.0;
  const double inner = outer * pupil.obstruction;
  const double reach = cell * std::numbers::sqrt2 / 2.0;
  const double r = std::hypot(x, y);
  if (r - reach >= outer || r + reach <= inner) return 0.0F;
  if (r + reach <= outer && r - reach >= inner) return 1.0F;
  constexpr int probes = 32;
  int open = 0;
  for (int j = 0; j < probes; ++j) {
    for (int i = 0; i < probes; ++i) {
      const double px = x + cell * ((i + 0.5) / probes - 0.5);
      const double py = y + cell * ((j + 0.5) / probes - 0.5);
      const double rr = px * px + py * py;
      open += rr <= outer * outer && rr >= inner * inner ? 1 : 0;
    }
  }
  return static_cast<float>(open) / (probes * probes);
}

}  // namespace

SampledPupil::SampledPupil(const Pupil& pupil, Length wavelength, Angle pitch, int grid)
    : wavelength_(wavelength), grid_(grid), cell_(wavelength / (grid * pitch.rad())) {
  const double cell = cell_.m();
  double energy = 0.0;
  double area = 0.0;
  for (int j = 0; j < grid; ++j) {
    for (int i = 0; i < grid; ++i) {
      const double x = (i - grid / 2) * cell;
      const double y = (j - grid / 2) * cell;
      const float open = open_share(pupil, x, y, cell);
      if (open == 0.0F) continue;
      points_.push_back({Length::m(x), Length::m(y)});
      openness_.push_back(open);
      cells_.push_back(j * grid + i);
      energy += static_cast<double>(open) * static_cast<double>(open);
      area += static_cast<double>(open);
    }
  }
  // Parseval: the squared modulus sums to grid^2 times the energy in the pupil. The overlap of the pupil with itself
  // shifted is right for whole cells and cut ones alike, as a share of the area; without shift it falls short.
  const double samples = static_cast<double>(grid) * grid;
  scale_ = static_cast<float>(1.0 / (area * samples));
  far_light_ = static_cast<float>((1.0 - energy / area) / samples);
}

void SampledPupil::point_spread(std::span<const float> opd_m, std::span<std::complex<float>> field,
                                std::span<float> point_spread) const {
  std::fill(point_spread.begin(), point_spread.end(), 0.0F);
  add_point_spread(opd_m, 1.0F, field, point_spread);
}

void SampledPupil::add_point_spread(std::span<const float> opd_m, float weight, std::span<std::complex<float>> field,
                                    std::span<float> point_spread) const {
  std::fill(field.begin(), field.end(), std::complex<float>{});
  const float radians_per_metre = static_cast<float>(2.0 * std::numbers::pi / wavelength_.m());
  for (std::size_t i = 0; i < points_.size(); ++i) {
    const float phase = radians_per_metre * opd_m[i];
    const std::complex<float> value(openness_[i] * std::cos(phase), openness_[i] * std::sin(phase));
    field[static_cast<std::size_t>(cells_[i])] = value;
  }
  fourier_forward(grid_, grid_, field.data());
  const float scale = scale_ * weight;
  const float far_light = far_light_ * weight;
  for (std::size_t i = 0; i < point_spread.size(); ++i) {
    point_spread[i] += far_light + scale * (field[i].real() * field[i].real() + field[i].imag() * field[i].imag());
  }
}

double encircled_energy(std::span<const float> point_spread, int grid, Angle pitch, Angle radius) {
  const auto value = [&](int x, int y) {
    const int column = (x + grid) % grid, row = (y + grid) % grid;
    return static_cast<double>(point_spread[static_cast<std::size_t>(row * grid + column)]);
  };
  const int half = grid / 2;
  double light = 0.0, sum_x = 0.0, sum_y = 0.0;
  for (int y = -half; y < half; ++y) {
    for (int x = -half; x < half; ++x) {
      light += value(x, y);
      sum_x += x * value(x, y);
      sum_y += y * value(x, y);
    }
  }
  if (!(light > 0.0)) return 0.0;
  const double reach = radius / pitch;
  double inside = 0.0;
  for (int y = -half; y < half; ++y) {
    for (int x = -half; x < half; ++x) {
      // A sample is one pitch wide: from half a pitch within the circle to half beyond it counts in proportion.
      const double from_middle = std::hypot(x - sum_x / light, y - sum_y / light);
      inside += std::clamp(reach - from_middle + 0.5, 0.0, 1.0) * value(x, y);
    }
  }
  return inside / light;
}

Angle critical_pitch(const Pupil& pupil, Length wavelength) { return Angle::rad(0.5 * (wavelength / pupil.diameter)); }

void add_zernike(const SampledPupil& sampled, const Pupil& pupil, int j, Length rms, std::span<float> opd_m) {
  const double radius = pupil.diameter.m() / 2.0;
  const auto points = sampled.points();
  for (std::size_t i = 0; i < points.size(); ++i) {
    opd_m[i] += static_cast<float>(rms.m() * zernike(j, points[i].x.m() / radius, points[i].y.m() / radius));
  }
}

}  // namespace halfarc
