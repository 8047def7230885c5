// Dew: a veil that grows on the front glass, takes light and scatters a part of the rest into a wide halo.
//
// Both grow as 1 - exp(-t / growing) from the moment dew begins. The halo's light falls off as
// s / (2 pi (s^2 + r^2)^(3/2)): half of it lies within 1.73 s. Droplets of 0.1 mm and more, which have run together,
// scatter within arcminutes (lambda over their size); finer ones so far that only the loss is seen.
// Valid: invented growth. Accuracy: the halo keeps its light but for what leaves half the frame's width.
#pragma once

#include "halfarc/base/angle.h"
#include "halfarc/base/duration.h"

namespace halfarc {

struct DewSpec {
  double loss = 0.0;       // share of the light that is lost in the end
  double scattered = 0.0;  // share of the rest that goes into the halo in the end
  Angle halo = Angle::arcsec(90.0);
  Duration begins;
  Duration growing = Duration::s(60.0);

  bool none() const { return loss == 0.0 && scattered == 0.0; }
};

struct Veil {
  double kept = 1.0;       // of all light
  double scattered = 0.0;  // of what is kept
};

// Valid: any time. Accuracy: exact as stated.
Veil veil_at(const DewSpec& dew, Duration t);

// The light of a point's halo, per square radian, at a distance. Valid: r >= 0. Accuracy: exact as stated.
double halo_light(Angle halo, Angle distance);

}  // namespace halfarc
