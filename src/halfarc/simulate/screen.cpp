#include "halfarc/simulate/screen.h"

#include <cmath>
#include <complex>
#include <cstdlib>
#include <numbers>

#include "halfarc/base/fourier.h"

namespace halfarc {
namespace {

using std::numbers::pi;

// The direction in which the beam crosses the map: the slope 1 / golden ratio meets itself latest.
constexpr double kGoldenSlope = 0.61803398874989485;

// Cells: beyond what any wind carries the beam against the map in a night, a multiple of every map's size.
constexpr long kFarAhead = 1L << 32;

// Power of the path, m^2 m^2, at a frequency in cycles per metre.
class PathPower {
 public:
  explicit PathPower(const Turbulence& air) {
    const double metres_per_radian = air.wavelength.m() / (2.0 * pi);
    scale_ = phase_power(air, PupilFrequency::per_m(1.0), air.wavelength) * metres_per_radian * metres_per_radian;
    const double f0 = std::isfinite(air.outer_scale.m()) ? 1.0 / air.outer_scale.m() : 0.0;
    f0_squared_ = f0 * f0;
    scale_ *= std::pow(1.0 + f0_squared_, 11.0 / 6.0);  // so that scale_ multiplies (f^2 + f0^2)^(-11/6)
  }
  double at(double fx, double fy) const { return scale_ * std::pow(fx * fx + fy * fy + f0_squared_, -11.0 / 6.0); }

 private:
  double scale_ = 0.0;
  double f0_squared_ = 0.0;
};

// The power of the square cell of side `side` about (fx, fy), each part weighted by weight(f^2).
template <class Weight>
double cell_power(const PathPower& power, double fx, double fy, double side, Weight weight) {
  constexpr int parts = 8;
  double sum = 0.0;
  for (int j = 0; j < parts; ++j) {
    for (int i = 0; i < parts; ++i) {
      const double x = fx + side * ((i + 0.5) / parts - 0.5);
      const double y = fy + side * ((j + 0.5) / parts - 0.5);
      sum += power.at(x, y) * weight(x * x + y * y);
    }
  }
  return sum * side * side / (parts * parts);
}

// What sampling folds into the frequency (fx, fy), both within the sampled band, from its nearest eight images.
double folded_power(const PathPower& power, double fx, double fy, double sampling) {
  double sum = 0.0;
  for (int n = -1; n <= 1; ++n) {
    for (int m = -1; m <= 1; ++m) {
      if (m != 0 || n != 0) sum += power.at(fx + m * sampling, fy + n * sampling);
    }
  }
  return sum;
}

// `folded_power` on a coarse grid over the quarter band, for interpolation: it is smooth.
class FoldedPower {
 public:
  FoldedPower(const PathPower& power, double sampling) : step_(0.5 * sampling / kSteps) {
    for (int j = 0; j <= kSteps; ++j) {
      for (int i = 0; i <= kSteps; ++i) {
        table_[static_cast<std::size_t>(j * (kSteps + 1) + i)] = folded_power(power, i * step_, j * step_, sampling);
      }
    }
  }
  double at(double fx, double fy) const {
    const double u = std::abs(fx) / step_;
    const double v = std::abs(fy) / step_;
    const int i = std::min(static_cast<int>(u), kSteps - 1);
    const int j = std::min(static_cast<int>(v), kSteps - 1);
    const double a = u - i;
    const double b = v - j;
    const auto entry = [&](int x, int y) { return table_[static_cast<std::size_t>(y * (kSteps + 1) + x)]; };
    return (1.0 - b) * ((1.0 - a) * entry(i, j) + a * entry(i + 1, j)) +
           b * ((1.0 - a) * entry(i, j + 1) + a * entry(i + 1, j + 1));
  }

 private:
  static constexpr int kSteps = 48;
  double step_;
  std::array<double, (kSteps + 1) * (kSteps + 1)> table_{};
};

// The four weights of cubic interpolation a fraction t past the second sample [Keys1981].
std::array<float, 4> cubic_weights(float t) {
  const float s = 1.0F - t;
  return {-0.5F * t * s * s, 1.0F + t * t * (1.5F * t - 2.5F), 1.0F + s * s * (1.5F * s - 2.5F), -0.5F * s * t * t};
}

// The share of the power at a frequency (of `count` up to half the sampling) that cubic look-up at a random place
// keeps.
std::vector<double> kept_by_look_up(int count) {
  constexpr int places = 16;
  std::vector<double> kept;
  for (int k = 0; k <= count; ++k) {
    const double turn = pi * k / count;
    double sum = 0.0;
    for (int place = 0; place < places; ++place) {
      const auto w = cubic_weights((static_cast<float>(place) + 0.5F) / places);
      std::complex<double> response;
      for (int i = 0; i < 4; ++i) response += std::polar(static_cast<double>(w[static_cast<std::size_t>(i)]), turn * i);
      sum += std::norm(response) / places;
    }
    kept.push_back(sum);
  }
  return kept;
}

// The mean square amplitude of bin (column, row) of the map's spectrum.
double bin_power(const PathPower& power, const FoldedPower& folded, int column, int row, double spacing) {
  constexpr int exact_to = 5;  // bins whose cells are integrated, not just taken at the centre
  const double fx = column * spacing;
  const double fy = row * spacing;
  const double f2 = fx * fx + fy * fy;
  if (std::abs(column) <= exact_to && std::abs(row) <= exact_to) {
    return cell_power(power, fx, fy, spacing, [f2](double g2) { return g2 / f2; });
  }
  return (power.at(fx, fy) + folded.at(fx, fy)) * spacing * spacing;
}

// Makes the two self-mirrored columns of a half spectrum those of a real picture.
void mirror_column(Plane<std::complex<float>>& spectrum, int column) {
  const int size = spectrum.height();
  for (int row = 1; row < size / 2; ++row) spectrum(column, size - row) = std::conj(spectrum(column, row));
  for (const int row : {0, size / 2}) {
    // A real bin carries in one number what the others carry in two.
    spectrum(column, row) = {spectrum(column, row).real() * std::numbers::sqrt2_v<float>, 0.0F};
  }
}

}  // namespace

PhaseScreen::PhaseScreen(const ScreenSpec& spec, Rng rng, Threads threads)
    : cell_m_(spec.cell.m()), size_(spec.size), map_(spec.size, spec.size) {
  draw_map(spec, rng.child("map"), threads);
  draw_slow_waves(spec, rng.child("slow waves"));
  Rng start = rng.child("start");
  start_x_m_ = start.uniform() * period().m();
  start_y_m_ = start.uniform() * period().m();
}

void PhaseScreen::draw_map(const ScreenSpec& spec, Rng rng, Threads threads) {
  const double spacing = 1.0 / period().m();
  const PathPower power(spec.strength);
  const FoldedPower folded(power, 1.0 / cell_m_);
  const std::vector<double> kept = kept_by_look_up(size_ / 2);
  Plane<std::complex<float>> spectrum(size_ / 2 + 1, size_);
  const double samples = static_cast<double>(size_) * size_;  // fourier_inverse divides by it
  parallel_for(static_cast<std::size_t>(size_), threads, [&](std::size_t index) {
    const int row = static_cast<int>(index);
    Rng row_rng = rng.child("row", index);
    for (int column = 0; column <= size_ / 2; ++column) {
      if (column == 0 && row == 0) continue;  // the slow waves stand in for this bin
      const int signed_row = row < size_ / 2 ? row : row - size_;
      const double look_up =
          kept[static_cast<std::size_t>(column)] * kept[static_cast<std::size_t>(std::abs(signed_row))];
      const double wanted = bin_power(power, folded, column, signed_row, spacing) / look_up;
      const double sigma = samples * std::sqrt(0.5 * wanted);
      const double re = row_rng.normal();
      const double im = row_rng.normal();
      spectrum(column, row) = {static_cast<float>(sigma * re), static_cast<float>(sigma * im)};
    }
  });
  mirror_column(spectrum, 0);
  mirror_column(spectrum, size_ / 2);
  fourier_inverse(size_, size_, spectrum.data(), map_.data());
}

void PhaseScreen::draw_slow_waves(const ScreenSpec& spec, Rng rng) {
  // The central bin of the map's spectrum is cut into 6 x 6 cells; the inner 2 x 2 of these make a square a third as
  // wide, which is cut again, and so on. Only half of the plane is needed: f and -f are the same real wave.
  constexpr int levels = 8;
  constexpr int cut = 6;
  const PathPower power(spec.strength);
  double width = 1.0 / period().m();
  for (int level = 0; level < levels; ++level, width /= 3.0) {
    const double side = width / cut;
    for (int j = cut / 2; j < cut; ++j) {
      for (int i = 0; i < cut; ++i) {
        const bool inner = (i == 2 || i == 3) && j == 3;
        if (inner) continue;
        const double fx = (i - 2.5) * side;
        const double fy = (j - 2.5) * side;
        // The power that gives the waves' slopes the variance of all the cell's. Frequencies drawn at random would
        // make some screens rougher than others, and the ensemble no longer normal.
        const double f2 = fx * fx + fy * fy;
        const double sigma = std::sqrt(2.0 * cell_power(power, fx, fy, side, [f2](double g2) { return g2 / f2; }));
        const double cosine = sigma * rng.normal();
        const double sine = sigma * rng.normal();
        const Wave wave{fx, fy, cosine, sine};
        slow_.push_back(wave);
      }
    }
  }
}

float PhaseScreen::map_at(double column, double row) const {
  // Truncation after a shift by whole maps: the places are never that far below 0, and floor() is a call.
  const auto c = static_cast<long>(column + kFarAhead) - kFarAhead;
  const auto r = static_cast<long>(row + kFarAhead) - kFarAhead;
  const auto wx = cubic_weights(static_cast<float>(column - static_cast<double>(c)));
  const auto wy = cubic_weights(static_cast<float>(row - static_cast<double>(r)));
  const int mask = size_ - 1;
  const int x = static_cast<int>(c & mask);
  const int y = static_cast<int>(r & mask);
  float sum = 0.0F;
  if (x >= 1 && y >= 1 && x + 2 < size_ && y + 2 < size_) {
    const float* line = map_.row(y - 1) + x - 1;
    std::array<float, 4> columns{};
    for (std::size_t j = 0; j < 4; ++j, line += size_) {
      for (std::size_t i = 0; i < 4; ++i) columns[i] += wy[j] * line[i];
    }
    for (std::size_t i = 0; i < 4; ++i) sum += wx[i] * columns[i];
    return sum;
  }
  for (int j = 0; j < 4; ++j) {  // round the edges of the map
    const float* line = map_.row((y + j - 1) & mask);
    float part = 0.0F;
    for (int i = 0; i < 4; ++i) part += wx[static_cast<std::size_t>(i)] * line[(x + i - 1) & mask];
    sum += wy[static_cast<std::size_t>(j)] * part;
  }
  return sum;
}

void PhaseScreen::add_path(std::span<const PupilPoint> points, Length travelled, Angle wind_direction, PupilPoint aside,
                           std::span<float> opd_m, float strength) const {
  // Ground axes to map axes: a turn that lays the wind along the golden slope. The air moves with the wind, so the
  // beam moves against it through the map.
  const Angle turn = Angle::rad(std::atan(kGoldenSlope)) - wind_direction;
  const double c = cos(turn);
  const double s = sin(turn);
  const double along_x = c * cos(wind_direction) - s * sin(wind_direction);
  const double along_y = s * cos(wind_direction) + c * sin(wind_direction);
  const double centre_x = start_x_m_ - travelled.m() * along_x + c * aside.x.m() - s * aside.y.m();
  const double centre_y = start_y_m_ - travelled.m() * along_y + s * aside.x.m() + c * aside.y.m();

  // The slow waves are so long that slope and curvature describe them across the beam.
  double gx = 0.0, gy = 0.0, hxx = 0.0, hxy = 0.0, hyy = 0.0;
  for (const Wave& wave : slow_) {
    const double kx = 2.0 * pi * wave.fx;
    const double ky = 2.0 * pi * wave.fy;
    const double phase = kx * centre_x + ky * centre_y;
    const double cosine = std::cos(phase);
    const double sine = std::sin(phase);
    const double slope = wave.sine * cosine - wave.cosine * sine;
    const double value = wave.cosine * cosine + wave.sine * sine;
    gx += kx * slope;
    gy += ky * slope;
    hxx -= kx * kx * value;
    hxy -= kx * ky * value;
    hyy -= ky * ky * value;
  }

  const double per_cell = 1.0 / cell_m_;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double x = c * points[i].x.m() - s * points[i].y.m();
    const double y = s * points[i].x.m() + c * points[i].y.m();
    const double slow = gx * x + gy * y + 0.5 * (hxx * x * x + 2.0 * hxy * x * y + hyy * y * y);
    opd_m[i] += strength * (static_cast<float>(slow) + map_at((centre_x + x) * per_cell, (centre_y + y) * per_cell));
  }
}

Length PhaseScreen::unrepeated_path(Length aperture) const { return period() * (0.5 * (period() / aperture)); }

}  // namespace halfarc
