// Sunlight, and what the Moon and the planets send back of it.
//
// Spectra here are photons a nanometre, 1 at 550 nm; how bright a body is, is told by its magnitude (light.h).
#pragma once

#include "halfarc/base/spectral_curve.h"
#include "halfarc/base/temperature.h"

namespace halfarc {

enum class BodyColour { grey, moon, mercury, venus, mars, jupiter, saturn, uranus, neptune };

// Photons a nanometre of a black body, 1 at 550 nm: lambda^-4 / (exp(hc / lambda k T) - 1).
// Valid: above 1000 K. Accuracy: exact. Source: [Allen1976] 4.2 (Planck's law).
SpectralCurve black_body_photons(Temperature temperature);

// The Sun as a black body of its effective temperature, 5772 K.
// Valid: 300 to 1100 nm. Accuracy: 5 % from 450 nm on; below, dark lines take a tenth to a third. Source: [Prsa2016].
SpectralCurve sunlight();

// What a body reflects against the colour of light, 1 at 550 nm. The giants' dark bands are methane's.
// Valid: 300 to 1100 nm, whole disc. Accuracy: 0.1 to 0.2. Source: from memory, rough.
SpectralCurve reflectance(BodyColour body);

// Sunlight times reflectance. Valid, Accuracy, Source: as those.
SpectralCurve body_light(BodyColour body);

}  // namespace halfarc
