// Turbulence: what moving air does to a wavefront, and so to an image, in the statistical mean.
//
// One number describes the strength: Fried's length r0, the aperture over which the wavefront is about one radian
// rough. It is stated at one wavelength and at the zenith angle looked through, and grows as lambda^(6/5). Kolmogorov's
// law has no largest scale; von Karman's has one, the outer scale L0 (tens of metres). An infinite L0 means Kolmogorov.
// Motion within an exposure: image_motion.h. Single frames: simulate/screen.h.
#pragma once

#include <limits>

#include "halfarc/base/angle.h"
#include "halfarc/base/duration.h"
#include "halfarc/base/length.h"
#include "halfarc/base/quantity.h"
#include "halfarc/base/spatial_frequency.h"
#include "halfarc/base/speed.h"

namespace halfarc {

// 2 [(24/5) Gamma(6/5)]^(5/6), often rounded to 6.88 [Fried1966], and the constant of the power spectrum that goes
// with it, often rounded to 0.023 [Noll1976].
inline constexpr double kStructureConstant = 6.8838771822938;
inline constexpr double kSpectrumConstant = 0.0228955871085552;

// The standard wavelength at which r0 is stated.
inline constexpr Length kSeeingWavelength = Length::nm(500.0);

struct Turbulence {
  Length r0;                              // at `wavelength`, along the line of sight
  Length wavelength = kSeeingWavelength;  // at which r0 is stated
  Length outer_scale = Length::m(std::numeric_limits<double>::infinity());
};

// How fine a ripple of the wavefront is, in cycles per metre of the pupil.
class PupilFrequency : public Quantity<PupilFrequency> {
 public:
  static constexpr PupilFrequency per_m(double v) { return of(v); }
  constexpr double per_m() const { return value(); }
};

// r0 at another wavelength, ~ lambda^(6/5), and from the zenith to an airmass, ~ X^(-3/5).
// Valid: visible and near infrared; airmass 1 to 5. Accuracy: exact for the law. Source: [Fried1966], [Roddier1981].
Length r0_at(const Turbulence& air, Length wavelength);
Length r0_through(Length r0_at_zenith, double airmass);

// The mean square phase difference of two places in the pupil, rad^2: 6.88 (r/r0)^(5/3), levelling off at L0.
// Valid: r >= 0. Accuracy: 1e-9 (Kolmogorov); 1e-6 relative for r > 1e-4 L0 (von Karman). Source: [Fried1966],
// [Conan2008] for the closed form with a modified Bessel function.
double phase_structure(const Turbulence& air, Length separation, Length wavelength);

// The power spectrum of the phase, rad^2 m^2: 0.0229 r0^(-5/3) (f^2 + L0^-2)^(-11/6).
// Valid: f > 0 (Kolmogorov), f >= 0 (von Karman). Accuracy: 1e-7 relative. Source: [Noll1976], [Roddier1981].
double phase_power(const Turbulence& air, PupilFrequency frequency, Length wavelength);

// The variance of the phase itself, rad^2: 0.0863 (L0/r0)^(5/3), infinite for Kolmogorov.
// Valid: any. Accuracy: 1e-7 relative. Source: [Conan2008].
double phase_variance(const Turbulence& air, Length wavelength);

// Contrast kept by the air in a long exposure: exp(-D(lambda nu) / 2). Multiply by the telescope's own.
// Valid: exposures much longer than the wind takes across the aperture. Accuracy: 1e-6. Source: [Fried1966].
double long_exposure_mtf(const Turbulence& air, Length wavelength, SpatialFrequency frequency);

// Contrast kept in short exposures whose image motion has been removed, in the mean:
// exp(-3.44 (lambda nu / r0)^(5/3) (1 - a (lambda nu / D)^(1/3))), a = 1 near the aperture, 1/2 far away.
// Kolmogorov: the outer scale is left out. Valid: lambda nu <= D; D/r0 up to about 6, above which the best frames are
// no longer described by a mean. Accuracy: 10 % (tilt and the rest are not quite independent). Source: [Fried1966].
enum class Propagation { near_field, far_field };
double short_exposure_mtf(const Turbulence& air, Length wavelength, Length aperture, SpatialFrequency frequency,
                          Propagation propagation = Propagation::near_field);

// The width of a star in a long exposure through a large telescope: 0.97586 lambda / r0, times
// sqrt(1 - 2.183 (r0/L0)^0.356) for a finite outer scale.
// Valid: L0/r0 > 20. Accuracy: 1e-5 (Kolmogorov), 1.5 % (finite L0). Source: [Racine1996], [Tokovinin2002].
Angle seeing_fwhm(const Turbulence& air, Length wavelength);

// The r0 that gives a long-exposure width in Kolmogorov air: 0.97586 lambda / fwhm.
// Valid: any. Accuracy: 1e-5. Source: [Racine1996].
Length r0_of_seeing(Angle fwhm, Length wavelength);

// Image motion along one axis, rms. By the least-squares plane through the wavefront (Zernike tilt, 0.18192) or by its
// mean slope, which is where the centroid of the image goes (0.16980): sqrt(c (D/r0)^(5/3)) lambda / D.
// Valid: Kolmogorov, instantaneous. Accuracy: 1e-4. Source: [Noll1976]; [Tokovinin2002] (gradient tilt).
Angle zernike_tilt_rms(const Turbulence& air, Length aperture);
Angle gradient_tilt_rms(const Turbulence& air, Length aperture);

// What is left of the wavefront, in rad^2 at D/r0 = 1, after the first `modes` Zernike polynomials are removed (1:
// piston only). Multiply by (D/r0)^(5/3). Computed with the exact constants: the printed table is 0.2 to 0.5 % low.
// Valid: 1 <= modes <= 200, full disc. Accuracy: 1e-6. Source: [Noll1976].
double noll_residual(int modes);

// How long the wavefront of one layer lives: 0.314 r0 / v. Valid: one layer. Accuracy: 1 %. Source: [Roddier1981].
Duration coherence_time(Length r0, Speed wind);

// The field over which the wavefront of one layer at a height is common: 0.314 r0 / h. Valid: one layer; height along
// the line of sight. Accuracy: 1 %. Source: [Roddier1981].
Angle isoplanatic_angle(Length r0, Length height);

// The share of short exposures with less than 1 rad^2 of wavefront variance after tilt is removed:
// 5.6 exp(-0.1557 (D/r0)^2), at most 1.
// Valid: D/r0 >= 3.5 (below, an upper bound). Accuracy: 35 % (Fried's own table at D/r0 = 4). Source: [Fried1978].
double lucky_probability(double aperture_over_r0);

}  // namespace halfarc
