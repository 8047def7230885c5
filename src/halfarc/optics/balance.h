// Balance: the turning moment of the parts about the altitude axis, and what undoes it.
//
// A mass m that stands x behind the axis and y above the tube's own line pulls the rear down with
//     M = g m (x cos h + y sin h)
// when the tube points to altitude h. Parts in line with the tube (y = 0) weigh most when it lies level and nothing at
// the zenith; what stands up on a diagonal does the opposite, so that no weight on the tube's line balances it at every
// altitude. Moments are in newton metres, positive where they pull the rear down.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "halfarc/base/angle.h"
#include "halfarc/base/length.h"
#include "halfarc/optics/train.h"

namespace halfarc {

inline constexpr double kGravity = 9.80665;  // m/s^2, the standard value [ISO2533]

// How the tube carries the train.
struct TrainMount {
  Length axis_before_port;  // the altitude axis ahead of the rear port; negative when the port is ahead of the axis
  bool aside = false;       // the port looks out of the tube's side and lies level, as a Newtonian's
};

// Where the axis of a telescope that was balanced with its own visual back usually lies. Accuracy: a quarter.
// Source: common practice: one aperture ahead of the port of a folded tube, about the middle of a refractor; a
// Newtonian's focuser stands 0.4 focal lengths ahead of the axis.
TrainMount typical_mount(const Telescope& telescope);

// The mass of one part as a point.
struct MassPoint {
  std::string part;
  double mass_g = 0.0;  // 0: unknown
  Length behind;        // the axis
  Length above;         // the tube's line
};

// Each part in the middle of its length, the camera at its sensor. Behind a diagonal the train stands straight up.
// Valid: at most one diagonal. Accuracy: exact for parts that are alike along their length; else by how far their
// centre of mass lies from the middle. Source: common practice.
std::vector<MassPoint> mass_points(const Train& train, const TrainMount& mount);

// M of those whose mass is known. Valid: any altitude. Accuracy: exact. Source: mechanics.
double rear_moment(const std::vector<MassPoint>& points, Angle altitude = {});

// M after less M before; nothing when a mass is unknown that came, went or moved. One that stays in its place cancels.
// Valid, Accuracy, Source: as `rear_moment`.
std::optional<double> moment_change(const std::vector<MassPoint>& before, const std::vector<MassPoint>& after,
                                    Angle altitude = {});

// The mass in grams that undoes a moment from a place so far ahead of the axis, M / (g ahead). It is negative when the
// place must lose mass. Valid: a place that is not the axis; moment and mass on the tube's line. Accuracy: exact.
// Source: mechanics.
double counter_mass_g(double moment, Length ahead);

// How far forward a weight on the tube must slide to undo a moment, M / (g m); negative: to the rear.
// Valid: mass above 0. Accuracy: exact. Source: mechanics.
Length slide_forward(double moment, double mass_g);

}  // namespace halfarc
