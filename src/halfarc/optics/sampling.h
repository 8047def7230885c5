// Sampling: whether the pixels are fine enough for what the telescope shows.
//
// A telescope of focal ratio N passes nothing finer than lambda N on the sensor. A row of sites resolves a period of
// two sites. In a mosaic the sites of one colour stand further apart than the pixels: red and blue every second pixel
// each way, green on a lattice turned by 45 degrees. Frames that wander over the sensor by themselves put every colour
// everywhere in the end, so that a stack needs only the pixels to be fine enough; a single frame needs its sites to be.
#pragma once

#include <array>

#include "halfarc/base/length.h"

namespace halfarc {

enum class Sites {
  every,         // no mosaic, or a stack of frames that wandered
  diagonal,      // green of a mosaic: every second pixel, like one colour of a chess board
  every_second,  // red and blue of a mosaic: every second pixel of every second row
};

struct Sampling {
  double pixels_per_resolution = 0.0;  // lambda / D in pixels: lambda N / p
  double cut_off = 0.0;                // finest detail that arrives, cycles a pixel: p / (lambda N)
  double nyquist = 0.0;                // finest that the sites hold in every direction, cycles a pixel
  bool holds_everything = false;       // cut_off <= nyquist
};

// Valid: any. Accuracy: exact. Source: [Goodman2005] 2.4 (sampling theorem), 6.3 (cut-off).
Sampling sampling(Length pixel, Sites sites, Length wavelength, double focal_ratio);

// The least focal ratio at which the sites hold all that arrives: 2 p / lambda for every pixel, sqrt 2 times that for
// green and twice that for red and blue. Valid: any. Accuracy: exact. Source: [Goodman2005] 2.4, 6.3.
double critical_focal_ratio(Length pixel, Sites sites, Length wavelength);

// What amplification suits a camera with a mosaic. Below `least` detail is lost even from a stack of wandering frames;
// above `most` every single frame holds everything in every colour, and only light is lost.
struct AmplificationRange {
  double least = 1.0;
  double most = 1.0;
};

// Wavelengths of red, green and blue. Valid: any. Accuracy: exact. Source: `critical_focal_ratio`; a stack of wandering
// frames: [Fruchter2002].
AmplificationRange useful_amplification(Length pixel, const std::array<Length, 3>& wavelengths, double focal_ratio);

}  // namespace halfarc
