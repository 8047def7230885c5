// Colour alignment: how far one picture lies from another that shows the same scene in another light.
//
// Two colours of a planet differ in brightness, in limb darkening and in contrast, so the peak of a plain correlation
// is pulled aside by tenths of a pixel. What they share is fine detail and the limb, and how much they share is
// measurable: the coherence of their spectra, ring by ring. Each Fourier value's phase is weighted by
// g^2 / (1 - g^2), g being the coherence of its ring, which is the maximum-likelihood weight for a common signal in
// independent noise; rings without significant coherence get none.
// Source: [Hannan1973] Hannan & Thomson, "Estimating group delay", Biometrika 60, 241.
#pragma once

#include "halfarc/base/measured.h"
#include "halfarc/base/pixel.h"
#include "halfarc/restore/spectrum.h"

namespace halfarc {

struct ColourOffset {
  PixelOffset offset;  // a feature at p in `reference` lies at p + offset in `other`
  PixelOffset sigma;   // standard errors
  bool found = false;  // false: the pictures share nothing significant, or lie too far apart
};

// Valid: offsets up to `reach` pixels. Accuracy: sigma is the Cramer-Rao bound for the measured coherence.
ColourOffset colour_offset(const Spectrum& reference, const Spectrum& other, double reach = 32.0);

}  // namespace halfarc
