#include "halfarc/simulate/light_train.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "halfarc/base/fourier.h"
#include "halfarc/optics/zernike.h"

namespace halfarc {
namespace {

using std::numbers::pi;
using Value = std::complex<float>;
using Spectrum = LightTrain::Spectrum;

constexpr std::size_t kGreen = 1;

Length bluest(const Instrument& instrument) {
  return *std::min_element(instrument.wavelengths.begin(), instrument.wavelengths.end());
}

// Work samples a pixel that keep all detail of the bluest colour.
int fold_for(const Instrument& instrument, PlateScale scale) {
  const Angle finest = critical_pitch(instrument.pupil, bluest(instrument));
  return std::max(1, static_cast<int>(std::ceil(scale.angle(1.0) / finest - 1e-9)));
}

int spread_grid(const Instrument& instrument, Angle blur, PlateScale work_scale) {
  int size = 64;
  while (work_scale.angle(size) < spread_reach(instrument, blur) * 2.0 && size < 4096) size *= 2;
  return size;
}

// exp(-2 pi i shift k / n) for k = 0 .. count - 1, or for signed k when `wrapped`.
std::vector<Value> turning(int count, int n, double shift, bool wrapped) {
  std::vector<Value> factors(static_cast<std::size_t>(count));
  const auto one_step = std::polar(1.0, -2.0 * pi * shift / n);
  std::complex<double> turn = 1.0;
  for (int k = 0; k < count; ++k) {
    if (wrapped && 2 * k >= n && 2 * k < n + 2) turn = std::polar(1.0, -2.0 * pi * shift * (k - n) / n);
    factors[static_cast<std::size_t>(k)] = Value(turn);
    turn = {turn.real() * one_step.real() - turn.imag() * one_step.imag(),
            turn.real() * one_step.imag() + turn.imag() * one_step.real()};
  }
  return factors;
}

// All spectra here are band spectra (base/banded_fourier.h): columns of one horizontal frequency, up to the telescope's
// cut-off.
int band_of(const Instrument& instrument, std::size_t colour, PlateScale work_scale, int width) {
  const double cycles =
      work_scale.angle(width).rad() * cut_off(instrument.pupil, instrument.wavelengths[colour]).per_rad();
  return std::clamp(static_cast<int>(std::ceil(cycles)) + 1, 2, width / 2);
}

// How many vertical frequencies of either sign, 0 included, the telescope passes in each column.
std::vector<int> passed_rows(const Instrument& instrument, std::size_t colour, PlateScale work_scale,
                             const BandedFourier& fourier) {
  const double limit = cut_off(instrument.pupil, instrument.wavelengths[colour]).per_rad();
  const double per_column = 1.0 / work_scale.angle(fourier.width()).rad();
  const double rows = work_scale.angle(fourier.height()).rad();
  std::vector<int> passed;
  for (int column = 0; column < fourier.band(); ++column) {
    const double across = per_column * column;
    const double most = rows * std::sqrt(std::max(0.0, limit * limit - across * across));
    passed.push_back(std::clamp(static_cast<int>(std::ceil(most)) + 1, 1, (fourier.height() + 1) / 2));
  }
  return passed;
}

std::size_t bin(const BandedFourier& fourier, int column, int row) {
  return static_cast<std::size_t>(column) * static_cast<std::size_t>(fourier.pitch()) + static_cast<std::size_t>(row);
}

// Calls visit(index, column, signed row) for every bin of a band spectrum but those of the last vertical frequency,
// which has no sign; it is beyond the telescope anyway.
template <class Visit>
void for_each_bin(const BandedFourier& fourier, Visit visit) {
  for (int column = 0; column < fourier.band(); ++column) {
    for (int row = 0; row < fourier.height(); ++row) {
      if (2 * row == fourier.height()) continue;
      visit(bin(fourier, column, row), column, 2 * row < fourier.height() ? row : row - fourier.height());
    }
  }
}

// The spectrum of a plane of cells (`oversample` a pixel), cut off to that of a coarser grid with `fold` samples a
// pixel and a sample on the middle of every pixel.
void band_limit(const Plane<float>& cells, int oversample, int fold, const BandedFourier& fourier, Spectrum& spectrum) {
  Plane<Value> fine(cells.width() / 2 + 1, cells.height());
  fourier_forward(cells.width(), cells.height(), cells.data(), fine.data());
  // Cell 0 lies (oversample - 1) / 2 cells before the middle of pixel 0.
  const double ahead = -0.5 * (oversample - 1) / oversample * fold;
  const auto turn_x = turning(fourier.band(), fourier.width(), ahead, false);
  const auto turn_y = turning(fourier.height(), fourier.height(), ahead, true);
  const int cells_a_sample = oversample / fold;
  const float mean = 1.0F / static_cast<float>(cells_a_sample * cells_a_sample);
  for_each_bin(fourier, [&](std::size_t i, int column, int row) {
    const Value value = fine(column, row < 0 ? cells.height() + row : row);
    const int unsigned_row = row < 0 ? fourier.height() + row : row;
    spectrum[i] +=
        mean * value * turn_x[static_cast<std::size_t>(column)] * turn_y[static_cast<std::size_t>(unsigned_row)];
  });
}

void add_point(const PixelPoint& place, float light, const BandedFourier& fourier, Spectrum& spectrum) {
  const auto turn_x = turning(fourier.band(), fourier.width(), place.x, false);
  const auto turn_y = turning(fourier.height(), fourier.height(), place.y, true);
  for_each_bin(fourier, [&](std::size_t i, int column, int row) {
    const int unsigned_row = row < 0 ? fourier.height() + row : row;
    spectrum[i] += light * turn_x[static_cast<std::size_t>(column)] * turn_y[static_cast<std::size_t>(unsigned_row)];
  });
}

// Multiplies every bin by gain(nu_x, nu_y).
template <class Gain>
void filter(const BandedFourier& fourier, PlateScale scale, Spectrum& spectrum, Gain gain) {
  const double per_column = 1.0 / scale.angle(fourier.width()).rad();
  const double per_row = 1.0 / scale.angle(fourier.height()).rad();
  for_each_bin(fourier, [&](std::size_t i, int column, int row) {
    spectrum[i] *= static_cast<float>(
        gain(SpatialFrequency::per_rad(column * per_column), SpatialFrequency::per_rad(row * per_row)));
  });
}

// line[i] *= scene[i] * turn * turns[i], written out: the compiler's own complex product checks for infinities.
void multiply(Value* line, const Value* scene, Value turn, const Value* turns, int count) {
  auto* l = reinterpret_cast<float*>(line);
  const auto* s = reinterpret_cast<const float*>(scene);
  const auto* t = reinterpret_cast<const float*>(turns);
  const float a = turn.real();
  const float b = turn.imag();
#pragma omp simd
  for (int i = 0; i < count; ++i) {
    const float turn_re = a * t[2 * i] - b * t[2 * i + 1];
    const float turn_im = a * t[2 * i + 1] + b * t[2 * i];
    const float seen_re = l[2 * i] * s[2 * i] - l[2 * i + 1] * s[2 * i + 1];
    const float seen_im = l[2 * i] * s[2 * i + 1] + l[2 * i + 1] * s[2 * i];
    l[2 * i] = seen_re * turn_re - seen_im * turn_im;
    l[2 * i + 1] = seen_re * turn_im + seen_im * turn_re;
  }
}

void add_low_orders(const LowOrders& errors, std::span<const float> modes, std::span<float> opd_m) {
  for (std::size_t k = 0; k < errors.rms_m.size(); ++k) {
    if (errors.rms_m[k] == 0.0) continue;
    const auto amount = static_cast<float>(errors.rms_m[k]);
    const float* mode = modes.data() + k * opd_m.size();
    for (std::size_t i = 0; i < opd_m.size(); ++i) opd_m[i] += amount * mode[i];
  }
}

// What a veil leaves of every frequency: the light that goes straight, and the halo's share of the coarse ones.
void veil(const Veil& veil, const float* halo, Value* line, int count) {
  const auto straight = static_cast<float>(veil.kept * (1.0 - veil.scattered));
  const auto scattered = static_cast<float>(veil.kept * veil.scattered);
  for (int i = 0; i < count; ++i) line[i] *= straight + scattered * halo[i];
}

struct Plane2 {
  double a = 0.0, x = 0.0, y = 0.0;  // z = a + x px + y py
};

// The weighted least-squares plane through values at points placed evenly about the axis.
Plane2 best_plane(const SampledPupil& pupil, std::span<const float> values) {
  double w = 0.0, wx2 = 0.0, wy2 = 0.0;
  Plane2 sum;
  const auto points = pupil.points();
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double weight = static_cast<double>(pupil.openness()[i]);
    const double x = points[i].x.m();
    const double y = points[i].y.m();
    const double v = static_cast<double>(values[i]);
    w += weight;
    wx2 += weight * x * x;
    wy2 += weight * y * y;
    sum.a += weight * v;
    sum.x += weight * v * x;
    sum.y += weight * v * y;
  }
  return {sum.a / w, sum.x / wx2, sum.y / wy2};
}

double rms_about(const SampledPupil& pupil, std::span<const float> values, const Plane2& plane) {
  double w = 0.0;
  double squares = 0.0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double weight = static_cast<double>(pupil.openness()[i]);
    const PupilPoint& p = pupil.points()[i];
    const double d = static_cast<double>(values[i]) - plane.a - plane.x * p.x.m() - plane.y * p.y.m();
    w += weight;
    squares += weight * d * d;
  }
  return std::sqrt(squares / w);
}

}  // namespace

class LightTrain::Work {
 public:
  Work(int width, int height, std::size_t bins, int spread, std::size_t points)
      : grid(width, height),
        spectrum(bins),
        field(spread, spread),
        point_spread(spread, spread),
        opd(points),
        mean_opd(points) {}
  Plane<float> grid;
  Spectrum spectrum;
  std::array<std::shared_ptr<BandedFourier::Scratch>, 3> scratch;
  Plane<Value> field;
  Plane<float> point_spread;
  std::vector<float> opd;
  std::vector<float> mean_opd;  // of green, over the exposure
  PixelOffset centroid_work;    // of green, in work samples
};

Angle spread_reach(const Instrument& instrument, Angle blur) {
  const Angle unit = Angle::rad(instrument.wavelengths[kGreen] / instrument.pupil.diameter);
  const double coma = std::hypot(instrument.coma_x_waves, instrument.coma_y_waves);
  return unit * (4.0 * std::abs(instrument.defocus_waves) + 3.0 * coma + 8.0) + blur;
}

int oversample_for(const Instrument& instrument, PlateScale scale) {
  const int fold = fold_for(instrument, scale);
  const Angle wanted = critical_pitch(instrument.pupil, bluest(instrument)) * 0.25;
  const int cells = std::clamp(static_cast<int>(std::ceil(scale.angle(1.0 / fold) / wanted)), 1, 8);
  return fold * cells;
}

LightTrain::LightTrain(const Instrument& instrument, const Scene& scene, Angle blur, Angle halo, int spread_px)
    : instrument_(instrument),
      frame_(scene.frame),
      fold_(fold_for(instrument, scene.frame.scale)),
      grid_width_(frame_.width * fold_),
      grid_height_(frame_.height * fold_),
      work_scale_(PlateScale::per_pixel(frame_.scale.angle(1.0 / fold_))) {
  const int wanted = spread_px > 0 ? spread_px * fold_ : spread_grid(instrument, blur, work_scale_);
  const int spread = std::min({wanted, grid_width_ & ~1, grid_height_ & ~1});
  for (std::size_t c = 0; c < 3; ++c) {
    pupils_.emplace_back(instrument.pupil, instrument.wavelengths[c], work_scale_.angle(1.0), spread);
    add_optics(instrument, c);
    fourier_.emplace_back(grid_width_, grid_height_, band_of(instrument, c, work_scale_, grid_width_));
    passed_rows_[c] = passed_rows(instrument, c, work_scale_, fourier_[c]);
    if (halo.rad() > 0.0) add_veil(halo, c);
  }
  show(scene);
}

void LightTrain::show(const Scene& scene) {
  for (std::size_t c = 0; c < 3; ++c) {
    const BandedFourier& fourier = fourier_[c];
    scene_[c] = Spectrum(fourier.bins());
    band_limit(scene.cells[c], scene.oversample, fold_, fourier, scene_[c]);
    for (const PointSource& point : scene.points) {
      const PixelPoint place{point.place.x * fold_, point.place.y * fold_};
      add_point(place, point.light[c] * static_cast<float>(fold_ * fold_), fourier, scene_[c]);
    }
    const Angle pixel = frame_.scale.angle(1.0);
    const double there_and_back = static_cast<double>(grid_width_) * grid_height_;
    filter(fourier, work_scale_, scene_[c], [&](SpatialFrequency nu_x, SpatialFrequency nu_y) {
      return pixel_mtf(pixel, nu_x) * pixel_mtf(pixel, nu_y) / there_and_back;
    });
    add_smear(c);
  }
}

void LightTrain::add_smear(std::size_t colour) {
  const SkyOffset& smear = instrument_.smear[colour];
  const double x = smear.x.rad(), y = smear.y.rad();
  smeared_[colour] = {};
  if (!(std::hypot(x, y) > 0.0)) return;
  smeared_[colour] = Spectrum(scene_[colour]);
  filter(fourier_[colour], work_scale_, smeared_[colour], [&](SpatialFrequency nu_x, SpatialFrequency nu_y) {
    const double turns = nu_x.per_rad() * x + nu_y.per_rad() * y;
    return std::exp(-2.0 * pi * pi * turns * turns);
  });
}

void LightTrain::add_optics(const Instrument& instrument, std::size_t colour) {
  const Length green = instrument.wavelengths[kGreen];
  auto& opd = optics_opd_m_[colour];
  const SampledPupil& pupil = pupils_[colour];
  opd.assign(pupil.points().size(), 0.0F);
  add_zernike(pupil, instrument.pupil, 4, green * (instrument.defocus_waves / kDefocusEdgePerRms), opd);
  add_zernike(pupil, instrument.pupil, 8, green * (instrument.coma_x_waves / kComaEdgePerRms), opd);
  add_zernike(pupil, instrument.pupil, 7, green * (instrument.coma_y_waves / kComaEdgePerRms), opd);

  const std::size_t count = pupil.points().size();
  auto& modes = low_orders_[colour];
  modes.assign(count * LowOrders{}.rms_m.size(), 0.0F);
  for (std::size_t k = 0; k < LowOrders{}.rms_m.size(); ++k) {
    const int j = LowOrders::kFirst + static_cast<int>(k);
    add_zernike(pupil, instrument.pupil, j, Length::m(1.0), std::span(modes).subspan(k * count, count));
  }
}

void LightTrain::add_veil(Angle halo, std::size_t colour) {
  // Drawn without wrapping, so that light thrown farther than half the frame is gone.
  const BandedFourier& fourier = fourier_[colour];
  Plane<float> kernel(grid_width_, grid_height_);
  const double sample = work_scale_.angle(1.0).rad() * work_scale_.angle(1.0).rad();
  for (int y = 0; y < grid_height_; ++y) {
    for (int x = 0; x < grid_width_; ++x) {
      const double r = std::hypot(std::min(x, grid_width_ - x), std::min(y, grid_height_ - y));
      kernel(x, y) = static_cast<float>(sample * halo_light(halo, work_scale_.angle(r)));
    }
  }
  Plane<Value> spectrum(grid_width_ / 2 + 1, grid_height_);
  fourier_forward(grid_width_, grid_height_, kernel.data(), spectrum.data());
  halo_[colour].assign(fourier.bins(), 0.0F);
  for (int column = 0; column < fourier.band(); ++column) {
    for (int row = 0; row < grid_height_; ++row) {
      halo_[colour][bin(fourier, column, row)] = spectrum(column, row).real();  // the halo is even
    }
  }
}

std::shared_ptr<LightTrain::Work> LightTrain::make_work() const {
  std::size_t points = 0;
  for (const SampledPupil& p : pupils_) points = std::max(points, p.points().size());
  std::size_t bins = 0;
  for (const BandedFourier& f : fourier_) bins = std::max(bins, f.bins());
  auto work = std::make_shared<Work>(grid_width_, grid_height_, bins, pupils_[0].grid(), points);
  for (std::size_t c = 0; c < 3; ++c) work->scratch[c] = fourier_[c].make_scratch();
  return work;
}

AirTruth LightTrain::expose(const Atmosphere& air, const Exposure& exposure, Work& work,
                            std::array<Plane<float>, 3>& image) const {
  AirTruth truth;
  for (std::size_t c = 0; c < 3; ++c) {
    if (exposure.rows[c].step == 0 && c != kGreen) continue;
    const SampledPupil& pupil = pupils_[c];
    const std::size_t count = pupil.points().size();
    const std::span<float> opd(work.opd.data(), count);
    const std::span<float> mean(work.mean_opd.data(), count);
    std::fill(work.point_spread.samples().begin(), work.point_spread.samples().end(), 0.0F);
    std::fill(mean.begin(), mean.end(), 0.0F);
    const float weight = 1.0F / static_cast<float>(exposure.parts);
    for (int part = 0; part < exposure.parts; ++part) {
      std::fill(opd.begin(), opd.end(), 0.0F);
      air.add_path(pupil.points(), moment(exposure, part), exposure.field, opd);
      if (c == kGreen) {
        for (std::size_t i = 0; i < count; ++i) mean[i] += weight * opd[i];
      }
      for (std::size_t i = 0; i < count; ++i) opd[i] += optics_opd_m_[c][i];
      if (!exposure.errors.empty()) {
        add_low_orders(exposure.errors[static_cast<std::size_t>(part)], low_orders_[c], opd);
      }
      pupil.add_point_spread(opd, weight, work.field.samples(), work.point_spread.samples());
    }
    if (c == kGreen) {
      const Plane2 plane = best_plane(pupil, mean);
      truth.tilt_px = {frame_.scale.pixels(Angle::rad(plane.x)), frame_.scale.pixels(Angle::rad(plane.y))};
      truth.rms_nm = rms_about(pupil, mean, plane) * 1e9;
    }
    image_colour(c, exposure, work, image[c]);
    if (c == kGreen) truth.centroid_px = work.centroid_work * (1.0 / fold_);
  }
  return truth;
}

void LightTrain::image_colour(std::size_t colour, const Exposure& exposure, Work& work, Plane<float>& image) const {
  if (exposure.rows[colour].step == 0) return;  // nobody sees it
  const SkyOffset& shift = exposure.shift[colour];
  const BandedFourier& fourier = fourier_[colour];
  const Spectrum& seen = smeared_[colour].empty() ? scene_[colour] : smeared_[colour];
  const auto turn_x = turning(fourier.band(), grid_width_, work_scale_.pixels(shift.x), false);
  const auto turn_y = turning(grid_height_, grid_height_, work_scale_.pixels(shift.y), true);
  // The slope of the phase at the lowest frequency is the centre of the light.
  const auto slope = [](Value v, int samples) { return -std::arg(std::complex<double>(v)) * samples / (2.0 * pi); };

  const auto through = [&](int column, Value* line) {
    if (column == 0) work.centroid_work.y = slope(line[1], grid_height_);
    if (column == 1) work.centroid_work.x = slope(line[0], grid_width_);
    const std::size_t begin = bin(fourier, column, 0);
    if (!halo_[colour].empty()) veil(exposure.veil, halo_[colour].data() + begin, line, grid_height_);
    const Value* scene = seen.data() + begin;
    const Value turn = turn_x[static_cast<std::size_t>(column)];
    const int up = passed_rows_[colour][static_cast<std::size_t>(column)];  // frequencies 0 .. up - 1
    const int down = grid_height_ - up + 1;                                 // and as many below 0
    multiply(line, scene, turn, turn_y.data(), up);
    std::fill(line + up, line + down, Value{});
    multiply(line + down, scene + down, turn, turn_y.data() + down, grid_height_ - down);
  };
  float* picture = fold_ == 1 ? image.data() : work.grid.data();
  const RowChoice rows = fold_ == 1 ? exposure.rows[colour] : RowChoice{};
  fourier.filter_patch(work.point_spread.data(), work.point_spread.width(), through, work.spectrum.data(), picture,
                       *work.scratch[colour], rows);
  if (fold_ > 1) crop(work.grid, image);
}

void LightTrain::crop(const Plane<float>& grid, Plane<float>& image) const {
  for (int y = 0; y < frame_.height; ++y) {
    for (int x = 0; x < frame_.width; ++x) image(x, y) = grid(x * fold_, y * fold_);
  }
}

std::array<Plane<float>, 3> LightTrain::perfect_image() const {
  std::array<Plane<float>, 3> image;
  Plane<float> grid(grid_width_, grid_height_);
  for (std::size_t c = 0; c < 3; ++c) {
    Spectrum seen = scene_[c];
    filter(fourier_[c], work_scale_, seen, [&](SpatialFrequency nu_x, SpatialFrequency nu_y) {
      const auto nu = SpatialFrequency::per_rad(std::hypot(nu_x.per_rad(), nu_y.per_rad()));
      return perfect_mtf(instrument_.pupil, instrument_.wavelengths[c], nu);
    });
    fourier_[c].inverse(seen.data(), grid.data(), *fourier_[c].make_scratch());
    image[c] = Plane<float>(frame_.width, frame_.height);
    crop(grid, image[c]);
  }
  return image;
}

}  // namespace halfarc
