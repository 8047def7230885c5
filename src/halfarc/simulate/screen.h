// PhaseScreen: one frozen layer of turbulent air, as a map of optical path over an endless plane.
//
// A layer is drawn once from its power spectrum and then only moved by the wind (Taylor's frozen flow), so the
// wavefront at any time is a look-up, and frames can be made in any order. Two parts add up:
//   - a periodic map of size x size cells, made by one Fourier transform of random amplitudes; the amplitudes of the
//     lowest frequencies carry the power of their whole cell weighted by f^2 (what slopes feel), and those of the
//     highest include what sampling folds in from beyond and make up for what look-up between samples loses, so that
//     the mean square differences are those of the field itself;
//   - everything slower than the map, down to 1/6000 of its lowest frequency, as plane waves in cells that shrink by
//     three towards zero. Their sum does not come round again within any recording.
// The path of the telescope's beam winds round the map with the golden slope, whatever the wind's direction on the
// ground: it comes back within an aperture of itself only after about size^2 cell^2 / 2 D (`unrepeated_path`).
// Optical path is the same for all colours; phase is 2 pi times it over the wavelength.
// Valid: points within 1/12 of the map of the beam's centre. Accuracy: residuals of [Noll1976] to J = 21 within 0.5 %,
// mean square differences within 1 % (Monte-Carlo errors of tests/simulate/screen_test.cpp).
// Sources: [Lane1992] (slow waves), [Keys1981] (cubic look-up).
#pragma once

#include <array>
#include <span>
#include <vector>

#include "halfarc/air/turbulence.h"
#include "halfarc/base/length.h"
#include "halfarc/base/parallel.h"
#include "halfarc/base/random.h"
#include "halfarc/frames/plane.h"
#include "halfarc/optics/pupil.h"

namespace halfarc {

struct ScreenSpec {
  Turbulence strength;  // of this layer alone
  Length cell;          // spacing of the map
  int size = 2048;      // cells each way; a power of two
};

class PhaseScreen {
 public:
  // The same screen for the same spec and rng, on any number of threads. Valid: size a power of two, 32 to 8192.
  PhaseScreen(const ScreenSpec& spec, Rng rng, Threads threads = {});

  // Adds to opd_m (metres) the path at `points` around a beam centre that has travelled `travelled` along the wind,
  // which blows towards `wind_direction` (from +x towards +y). `aside` moves the beam across the ground, for beams that
  // come from another direction on the sky; `strength` multiplies the path. The mean over the map is left out, as is
  // the piston of the slow waves.
  void add_path(std::span<const PupilPoint> points, Length travelled, Angle wind_direction, PupilPoint aside,
                std::span<float> opd_m, float strength = 1.0F) const;

  // How far the beam of an aperture can travel before it sees a part of the map again. Valid: order of magnitude.
  Length unrepeated_path(Length aperture) const;

  // The spacing and the side of the map.
  Length cell() const { return Length::m(cell_m_); }
  Length period() const { return Length::m(cell_m_ * size_); }

 private:
  struct Wave {
    double fx, fy;        // cycles per metre
    double cosine, sine;  // amplitudes, metres
  };
  void draw_map(const ScreenSpec& spec, Rng rng, Threads threads);
  void draw_slow_waves(const ScreenSpec& spec, Rng rng);
  float map_at(double column, double row) const;

  double cell_m_ = 0.0;
  int size_ = 0;
  double start_x_m_ = 0.0;  // where the beam enters the map
  double start_y_m_ = 0.0;
  Plane<float> map_;  // metres of path
  std::vector<Wave> slow_;
};

}  // namespace halfarc
