// Passbands: how much of each colour gets through, and what each colour plane of a camera makes of it.
//
// These are the usual curves of the usual parts, from memory: smooth, typical, good to about a tenth of their peak and
// 10 nm at their edges. They say where a colour plane is centred, how wide it is and how bright; whoever knows the
// curve of a part uses that instead. Curves multiply (base/spectral_curve.h).
#pragma once

#include <array>

#include "halfarc/base/spectral_curve.h"
#include "halfarc/optics/telescope.h"

namespace halfarc {

// Electrons a photon of bare back-lit silicon with small pixels.
// Valid: 300 to 1100 nm. Accuracy: 0.1. Source: from memory, typical.
SpectralCurve silicon_efficiency();

// What the dyes of a mosaic pass: red, green, blue. Beyond 800 nm all three are clear: infrared leaks into each.
// Valid: 300 to 1100 nm. Accuracy: 0.1. Source: from memory, typical.
std::array<SpectralCurve, 3> mosaic_dyes();

// Filters: what blocks ultraviolet and infrared before a colour camera, and what passes only beyond `edge`.
// Valid: 300 to 1100 nm. Accuracy: 0.05, edges 10 nm. Source: from memory, typical.
SpectralCurve ultraviolet_infrared_cut();
SpectralCurve infrared_pass(Length edge);

// All mirrors and glass of a telescope: enhanced aluminium and coated glass.
// Valid: 300 to 1100 nm. Accuracy: 0.1. Source: from memory, typical.
SpectralCurve telescope_transmission(TelescopeKind kind);

// Electrons a photon that meets a site of each colour, through `before` (everything ahead of the sensor).
// Valid: 300 to 1100 nm. Accuracy: 0.15. Source: product of `mosaic_dyes` and `silicon_efficiency`.
std::array<SpectralCurve, 3> colour_planes(const SpectralCurve& before);

// One colour plane looking at some light: where its photons lie, and how many they are.
struct Band {
  Length mean;
  Length spread;        // standard deviation
  double weight = 0.0;  // area of plane times light, in units of the light's value times nm
};

// Valid: any. Accuracy: as the curves. Source: definition.
Band band(const SpectralCurve& plane, const SpectralCurve& light);

// The standard visual band V: response to energy, 1 at its peak.
// Valid: 470 to 700 nm, nil elsewhere. Accuracy: 0.01. Source: [Bessell1990] table 2, from memory.
SpectralCurve visual_band();

}  // namespace halfarc
