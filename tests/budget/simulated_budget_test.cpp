// The product of the budget's transfer functions against the simulator's frames: a star through mixed causes, aligned
// and averaged, and the contrast that is left at a period of one arcsecond.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <numbers>
#include <numeric>
#include <vector>

#include "halfarc/air/image_motion.h"
#include "halfarc/air/turbulence.h"
#include "halfarc/base/fourier.h"
#include "halfarc/budget/budget.h"
#include "halfarc/budget/causes.h"
#include "halfarc/simulate/light_train.h"

namespace halfarc {
namespace {

constexpr int kSize = 100;
constexpr PlateScale kScale = PlateScale::arcsec_per_px(0.1);  // 10 arcseconds: one-arcsecond detail is 10 cycles
constexpr int kCycles = 10;
constexpr double kTurn = 2.0 * std::numbers::pi;

using Spectrum = Plane<std::complex<float>>;

struct Case {
  std::string name;
  Instrument instrument;
  double d_over_r0 = 0.0;  // at 540 nm; nil is still air
  double kept = 1.0;
  Angle drift;                  // along x, during each frame's exposure
  Angle jitter;                 // rms along each axis, after alignment
  std::array<Angle, 3> colour;  // places of the colours along y
  Duration exposure;
};

double cycles(int bin) { return 2 * bin < kSize ? bin : bin - kSize; }

Scene star(const Instrument& instrument) {
  BodySpec spec;
  spec.kind = BodyKind::star;
  return draw_scene(spec, {kSize, kSize, kScale}, oversample_for(instrument, kScale));
}

// The spectra of frames, red green and blue.
std::vector<std::array<Spectrum, 3>> frames_of(const Case& c) {
  const LightTrain train(c.instrument, star(c.instrument), Angle::arcsec(2.0));
  const auto work = train.make_work();
  const bool still = c.d_over_r0 == 0.0;
  const int seeds = still ? 1 : 8;
  const int a_seed = still ? 1 : 60;
  std::vector<std::array<Spectrum, 3>> frames;
  for (int seed = 0; seed < seeds; ++seed) {
    AirSpec air{{}, {}};
    if (!still) {
      air.turbulence = {c.instrument.pupil.diameter / c.d_over_r0, c.instrument.wavelengths[1], Length::m(20.0)};
      air.layers = {{1.0, Speed::m_per_s(9.0), Angle::deg(0.0), Length::m(0.0)}};
    }
    const Atmosphere atmosphere(air, c.instrument.pupil, Duration::s(4.0),
                                Rng(100).child("air", static_cast<std::uint64_t>(seed)));
    for (int i = 0; i < a_seed; ++i) {
      Exposure exposure;
      exposure.middle = Duration::s(0.06 * i);
      exposure.length = c.exposure;
      exposure.parts = c.exposure > Duration() ? 9 : 1;
      for (std::size_t k = 0; k < 3; ++k) exposure.shift[k].y = c.colour[k];
      std::array<Plane<float>, 3> image;
      for (auto& plane : image) plane = Plane<float>(kSize, kSize);
      train.expose(atmosphere, exposure, *work, image);
      std::array<Spectrum, 3> spectra;
      for (std::size_t k = 0; k < 3; ++k) {
        spectra[k] = Spectrum(kSize / 2 + 1, kSize);
        fourier_forward(kSize, kSize, image[k].data(), spectra[k].data());
      }
      frames.push_back(std::move(spectra));
    }
  }
  return frames;
}

struct Shift {
  double x = 0.0, y = 0.0;  // in turns a cycle
};

std::complex<double> turned(const Spectrum& spectrum, int kx, int ky, const Shift& shift) {
  return std::complex<double>(spectrum(kx, ky)) * std::polar(1.0, kTurn * (kx * shift.x + cycles(ky) * shift.y));
}

// A few Newton steps towards the best agreement with the mean of all, weighted as a planet's disc weighs it.
std::vector<Shift> aligned(const std::vector<std::array<Spectrum, 3>>& frames) {
  std::vector<Shift> shifts(frames.size());
  for (int round = 0; round < 6; ++round) {
    std::vector<std::complex<double>> mean(static_cast<std::size_t>((kSize / 2 + 1) * kSize));
    const auto at = [&](int kx, int ky) -> std::complex<double>& {
      return mean[static_cast<std::size_t>(ky * (kSize / 2 + 1) + kx)];
    };
    for (std::size_t i = 0; i < frames.size(); ++i)
      for (int ky = 0; ky < kSize; ++ky)
        for (int kx = 0; kx <= 13; ++kx) at(kx, ky) += turned(frames[i][1], kx, ky, shifts[i]);
    for (std::size_t i = 0; i < frames.size(); ++i) {
      for (int step = 0; step < 4; ++step) {
        double gx = 0.0, gy = 0.0, xx = 0.0, yy = 0.0;
        for (int ky = 0; ky < kSize; ++ky) {
          for (int kx = 0; kx <= 13; ++kx) {
            const double f = std::hypot(kx, cycles(ky));
            if (f == 0.0 || f > 13.0) continue;
            const double weight = (kx == 0 ? 1.0 : 2.0) / std::pow(std::max(f, 0.55), 3);
            const std::complex<double> v = turned(frames[i][1], kx, ky, shifts[i]) * std::conj(at(kx, ky)) * weight;
            gx -= v.imag() * kTurn * kx;
            gy -= v.imag() * kTurn * cycles(ky);
            xx += v.real() * std::pow(kTurn * kx, 2);
            yy += v.real() * std::pow(kTurn * cycles(ky), 2);
          }
        }
        shifts[i].x += std::clamp(gx / std::max(xx, 1e-9), -0.02, 0.02);
        shifts[i].y += std::clamp(gy / std::max(yy, 1e-9), -0.02, 0.02);
      }
    }
  }
  return shifts;
}

double sharpness(const Spectrum& spectrum) {
  double sum = 0.0;
  for (int ky = 0; ky < kSize; ++ky) {
    for (int kx = 0; kx <= 11; ++kx) {
      const double f = std::hypot(kx, cycles(ky));
      if (f >= 3.7 && f <= 11.0) sum += static_cast<double>(std::norm(spectrum(kx, ky))) / (f * f * f);
    }
  }
  return sum;
}

// Contrast at one-arcsecond period in the mean over directions, relative to all the light. Directions are those of the
// grid's frequencies of that length: (10, 0), (8, 6), (6, 8), (0, 10) and their mirror images.
double measured_contrast(const Case& c) {
  const auto frames = frames_of(c);
  const std::vector<Shift> shifts = c.d_over_r0 > 0.0 ? aligned(frames) : std::vector<Shift>(frames.size());
  std::vector<std::size_t> order(frames.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::vector<double> scores;
  for (const auto& frame : frames) scores.push_back(sharpness(frame[1]));
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return scores[a] > scores[b]; });
  order.resize(static_cast<std::size_t>(std::ceil(c.kept * static_cast<double>(order.size()))));
  const bool coloured = c.colour[0] != c.colour[2];
  // (10, 0) and (0, 10) come once, the four others twice: by the angle that each stands for.
  constexpr std::array<std::array<int, 2>, 6> kPlaces = {{{10, 0}, {0, 10}, {8, 6}, {6, 8}, {8, -6}, {6, -8}}};
  constexpr std::array<double, 6> kShares = {36.87, 36.87, 26.57, 26.57, 26.57, 26.57};
  double sum = 0.0, shares = 0.0;
  for (std::size_t p = 0; p < kPlaces.size(); ++p) {
    const int kx = kPlaces[p][0];
    const int ky = (kPlaces[p][1] + kSize) % kSize;
    std::complex<double> mean = 0.0;
    double light = 0.0;
    Rng random(7);
    for (const std::size_t i : order) {
      Shift shift = shifts[i];
      shift.x += random.normal() * c.jitter.arcsec() / 10.0;
      shift.y += random.normal() * c.jitter.arcsec() / 10.0;
      for (std::size_t k = coloured ? 0 : 1; k < (coloured ? 3U : 2U); ++k) {
        mean += turned(frames[i][k], kx, ky, shift);
        light += static_cast<double>(frames[i][k](0, 0).real());
      }
    }
    // The drift of a frame is put in afterwards: an even smear along x.
    const double length = c.drift.arcsec() * kx / 10.0;
    const double smear = length > 0.0 ? std::sin(std::numbers::pi * length) / (std::numbers::pi * length) : 1.0;
    sum += kShares[p] * smear * std::abs(mean) / light;
    shares += kShares[p];
  }
  return sum / shares;
}

double budgeted_contrast(const Case& c) {
  const Pupil& pupil = c.instrument.pupil;
  const Length green = c.instrument.wavelengths[1];
  std::vector<Blur> blurs = {diffraction_blur(pupil, green), pixel_blur(kScale.angle(1.0))};
  if (c.d_over_r0 > 0.0) {
    const Length r0 = r0_at({pupil.diameter / c.d_over_r0, green}, kSeeingWavelength);
    blurs.push_back(air_blur(pupil, green, {r0, {}}, c.kept));
  }
  Wavefront focus, coma;
  focus.wavelength = coma.wavelength = green;
  focus.defocus = c.instrument.defocus_waves;
  coma.coma_x = c.instrument.coma_x_waves;
  coma.coma_y = c.instrument.coma_y_waves;
  blurs.push_back(wavefront_blur(Cause::focus, pupil, green, focus));
  blurs.push_back(wavefront_blur(Cause::collimation, pupil, green, coma));
  blurs.push_back(smear_blur(Cause::spin, {c.drift, {}}, {}));
  blurs.push_back(jitter_blur(Cause::registration, {c.jitter, {}}));
  blurs.push_back(between_colours_blur({{{c.colour[0], {}}, {c.colour[1], {}}, {c.colour[2], {}}}}, {1.0, 1.0, 1.0}));
  if (c.exposure > Duration()) {
    const Turbulence air{pupil.diameter / c.d_over_r0, green, Length::m(20.0)};
    blurs.push_back(
        jitter_blur(Cause::exposure, {smearing_motion_rms(air, pupil.diameter, c.exposure, Speed::m_per_s(9.0)), {}}));
  }
  return budget_of(blurs).half_arc_contrast.value;
}

Case with(const std::string& name, double d_over_r0, double defocus, double coma_x, double coma_y) {
  Case c;
  c.name = name;
  c.d_over_r0 = d_over_r0;
  c.instrument.defocus_waves = defocus;
  c.instrument.coma_x_waves = coma_x;
  c.instrument.coma_y_waves = coma_y;
  return c;
}

std::vector<Case> cases() {
  std::vector<Case> all = {
      with("perfect", 0.0, 0.0, 0.0, 0.0),        with("defocus", 0.0, 0.3, 0.0, 0.0),
      with("coma", 0.0, 0.0, 0.3, -0.3),          with("defocus and coma", 0.0, 0.2, 0.2, 0.1),
      with("fair air", 1.5, 0.0, 0.0, 0.0),       with("fair air, defocus", 1.5, 0.25, 0.0, 0.0),
      with("fair air, coma", 1.5, 0.0, 0.0, 0.4), with("poor air", 2.5, 0.0, 0.0, 0.0),
  };
  Case kept = with("poor air, the best fifth", 2.5, 0.0, 0.0, 0.0);
  kept.kept = 0.2;
  all.push_back(kept);
  Case moving = with("fair air, drift, unsteady alignment, defocus", 1.5, 0.2, 0.0, 0.0);
  moving.drift = Angle::arcsec(0.4);
  moving.jitter = Angle::arcsec(0.1);
  all.push_back(moving);
  Case fringes = with("fringes, defocus", 0.0, 0.2, 0.0, 0.0);
  fringes.colour = {Angle::arcsec(-0.2), Angle::arcsec(0.0), Angle::arcsec(0.25)};
  fringes.instrument.wavelengths = {Length::nm(550.0), Length::nm(540.0), Length::nm(530.0)};
  all.push_back(fringes);
  Case slow = with("fair air, long exposures", 1.5, 0.0, 0.0, 0.0);
  slow.exposure = Duration::ms(8.0);
  all.push_back(slow);
  return all;
}

TEST(SimulatedBudget, ProductIsTheSimulatorsTransferWithinThreePerCent) {
  for (const Case& c : cases()) {
    const double measured = measured_contrast(c);
    const double budgeted = budgeted_contrast(c);
    EXPECT_NEAR(measured / budgeted, 1.0, 0.03) << c.name << ": simulator " << measured << ", budget " << budgeted;
    RecordProperty(c.name, std::to_string(measured / budgeted));
  }
}

}  // namespace
}  // namespace halfarc
