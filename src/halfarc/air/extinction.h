// Extinction: how much light clear air takes away on its way down, by colour.
//
// Three causes: molecules (Rayleigh), haze, and ozone. Molecules are known to a percent; haze is the night's own, so
// the figures are those of a good night unless the owner knows better. Thin cloud takes more than all three.
#pragma once

#include "halfarc/base/length.h"
#include "halfarc/base/spectral_curve.h"

namespace halfarc {

// The changeable part of the air.
struct Haze {
  double magnitudes = 0.12;    // of haze at the zenith, at sea level and 510 nm: a good night [Green1992]
  double exponent = 1.3;       // haze thins as wavelength^-exponent (common practice; 0 for coarse dust)
  double ozone_atm_cm = 0.30;  // a column of 300 Dobson units
};

// Magnitudes per airmass. Molecules: the law of [HayesLatham1975], falling with height by e in 7.996 km; haze: by e in
// 1.5 km; ozone lies above all sites.
struct Extinction {
  double molecules = 0.0;
  double haze = 0.0;
  double ozone = 0.0;
  double total() const { return molecules + haze + ozone; }
};

// Valid: 310 to 1100 nm, 0 to 5 km. Leaves out the narrow bands of oxygen and vapour in the red and infrared (687, 720,
// 760, 820, 940 nm). Accuracy: 0.04 mag below 400 nm and 0.016 mag from there to
// 700 nm against Palomar's curve; a night's own haze moves it more.
// Source: [HayesLatham1975], [Green1992], [Leckner1978] (ozone).
Extinction extinction(Length wavelength, Length height, const Haze& haze = {});

// The share of light that comes down through so many airmasses: 10^(-0.4 X A).
// Valid: airmass 1 to 10; one airmass for all three causes (ozone, lying high, has a smaller one low down).
// Accuracy: as extinction, times the airmass. Source: as extinction.
SpectralCurve air_transmission(double airmass, Length height, const Haze& haze = {});

}  // namespace halfarc
