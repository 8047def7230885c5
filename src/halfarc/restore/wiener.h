// Wiener filter: undoing a known blur exactly as far as the data allow, and not further.
//
// For a picture S = H T + noise, the linear filter with the least mean square error against T is
//     W = (1 / H) SNR / (1 + SNR),
// SNR being the power ratio of signal to noise at each frequency. Here the SNR is not guessed: it is what two
// independent halves of the data agree on (halves.h). Detail that both halves show is restored to full contrast; detail
// that they do not share is left out. There is no iteration and no strength to choose.
// Source: [Wiener1949]; SNR from the correlation of halves [Rosenthal2003].
#pragma once

#include <functional>
#include <vector>

#include "halfarc/frames/plane.h"
#include "halfarc/restore/halves.h"

namespace halfarc {

// A transfer function: contrast left of a detail of frequency (fx, fy) cycles per pixel, real, 1 at zero.
using Transfer = std::function<double(double fx, double fy)>;

struct WienerOptions {
  double strength = 1.0;         // exponent on 1/H: 1 as measured, less is softer, more is harder
  double least_transfer = 0.02;  // H is never taken smaller than this
};

// Filters `picture`. `snr` is one value a ring (halves.h: signal_to_noise) of the picture's own ring set; between rings
// it is interpolated. The mean brightness is kept exactly.
Plane<float> wiener_filter(View<const float> picture, const Transfer& blur, const std::vector<double>& snr,
                           const WienerOptions& options = {});

// The picture without the frequencies above the telescope's cut-off (cycles per pixel): those are the camera's,
// whatever halves agree on (its mosaic, its fixed pattern), and noise.
Plane<float> passed_part(View<const float> picture, double cut_off);

}  // namespace halfarc
