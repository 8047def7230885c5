// Instrument: the telescope of a simulated shot: its pupil, the colours it is looked through, and its fixed errors.
#pragma once

#include <array>

#include "halfarc/base/length.h"
#include "halfarc/base/pixel.h"
#include "halfarc/optics/pupil.h"

namespace halfarc {

struct Instrument {
  Pupil pupil{Length::mm(203.0), 0.34};
  // The wavelength that stands for each colour: red, green, blue.
  std::array<Length, 3> wavelengths{Length::nm(620.0), Length::nm(540.0), Length::nm(460.0)};
  // Errors of the optics at the edge of the pupil, in waves of green: W rho^2 and W rho^3 along x and y.
  double defocus_waves = 0.0;
  double coma_x_waves = 0.0;
  double coma_y_waves = 0.0;
  // How the air's dispersion, or the corrector's, draws each colour out on the image: the standard deviation of its
  // light along a line. Which end is which does not matter.
  std::array<SkyOffset, 3> smear{};
};

}  // namespace halfarc
