// OpticsChange: focus and collimation that change while a recording runs.
//
// Two ways: steadily (a tube that cools), and by moves of a hand (knob or screw), during which the errors change evenly
// and after which they stay. A moving mirror also shifts the image. Errors are in waves of green at the edge of the
// pupil, W rho^2 and W rho^3 along x and y, and add to those of the instrument.
#pragma once

#include <vector>

#include "halfarc/base/duration.h"
#include "halfarc/base/length.h"
#include "halfarc/base/pixel.h"
#include "halfarc/simulate/low_orders.h"

namespace halfarc {

struct OpticsError {
  double defocus_waves = 0.0;
  double coma_x_waves = 0.0;
  double coma_y_waves = 0.0;

  friend constexpr bool operator==(const OpticsError&, const OpticsError&) = default;
};

struct OpticsMove {
  Duration at;
  Duration lasting = Duration::s(1.0);
  OpticsError by;
  SkyOffset image;  // where the image has gone when the hand is off
};

struct OpticsChange {
  OpticsError per_minute;
  std::vector<OpticsMove> moves;

  bool none() const { return per_minute == OpticsError{} && moves.empty(); }
};

// What has been added by time t after the start, and where the image has gone with it.
// Valid: any time. Accuracy: exact as stated.
OpticsError optics_change_at(const OpticsChange& change, Duration t);
SkyOffset mirror_shift_at(const OpticsChange& change, Duration t);

// The largest that each error becomes, without its sign, from the start until `length`. Valid: any. Accuracy: an upper
// bound.
OpticsError largest_change(const OpticsChange& change, Duration length);

// The wavefront of the errors. Valid: any. Accuracy: exact. Source: [BornWolf1999] 9.2.
LowOrders wavefront_of(const OpticsError& error, Length green);

}  // namespace halfarc
