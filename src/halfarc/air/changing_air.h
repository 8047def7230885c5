// Changing air: how fast what the air does to a picture changes, and what an exposure averages out of it.
//
// What is broken up in one instant is broken up otherwise a little later. Two instants t apart share
//     exp(-(t / tau)^(5/3))
// of their difference from the mean; tau is the lifetime of that difference. An exposure is the mean of its instants:
// exposures differ less from each other than instants do, and the longer they are the less. Whoever reads the strength
// of the air from how exposures differ (aligned_exposures.h) has to put back what they averaged out themselves.
// The exponent is that of the structure function of a screen that blows across the aperture. Source: [Roddier1981].
#pragma once

#include <optional>
#include <span>

namespace halfarc {

// What two exposures share of the difference between instants and the mean: `apart` from start to start, both times in
// lifetimes. exposures_alike(0, e) is what one exposure keeps of it. Valid: exposure >= 0. Accuracy: 0.002.
double exposures_alike(double apart, double exposure);

// The lifetime in intervals between frames. differing[k] is the power that exposures k frames apart share of their
// difference from the mean, in any unit; differing[0] that of single exposures; `exposure` in intervals.
// Nothing when exposures do not differ at all, or when not even neighbours share anything. Valid: two values or more.
// Range: 0.5 to 60 intervals, clamped.
std::optional<double> lifetime_of_differences(std::span<const double> differing, double exposure);

// The same, and the lower end of the range where not even neighbours share anything.
std::optional<double> nearest_lifetime(std::span<const double> differing, double exposure);

// Intervals: a lifetime below says that not even neighbours have anything in common.
constexpr double kNothingShared = 0.55;

// Where nothing says how long the exposures were: planets are recorded at nearly all the frames that the exposure
// allows. In intervals. Common practice.
constexpr double kUsualExposure = 0.8;

// Of what an exposure ought to average out this power is lost, because the picture's dance within the exposure makes
// exposures differ again. From simulated air of one and of two layers (tests/restore, tests/measure).
constexpr double kAveragedPower = 0.65;

}  // namespace halfarc
