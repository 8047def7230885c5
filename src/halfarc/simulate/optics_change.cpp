#include "halfarc/simulate/optics_change.h"

#include <algorithm>
#include <cmath>

#include "halfarc/optics/zernike.h"

namespace halfarc {
namespace {

double done(const OpticsMove& move, Duration t) { return std::clamp((t - move.at) / move.lasting, 0.0, 1.0); }

void add(OpticsError& sum, const OpticsError& e, double times) {
  sum.defocus_waves += e.defocus_waves * times;
  sum.coma_x_waves += e.coma_x_waves * times;
  sum.coma_y_waves += e.coma_y_waves * times;
}

OpticsError sizes(const OpticsError& e) {
  return {std::abs(e.defocus_waves), std::abs(e.coma_x_waves), std::abs(e.coma_y_waves)};
}

}  // namespace

OpticsError optics_change_at(const OpticsChange& change, Duration t) {
  OpticsError sum;
  add(sum, change.per_minute, t.minutes());
  for (const OpticsMove& move : change.moves) add(sum, move.by, done(move, t));
  return sum;
}

SkyOffset mirror_shift_at(const OpticsChange& change, Duration t) {
  SkyOffset sum;
  for (const OpticsMove& move : change.moves) {
    sum.x += move.image.x * done(move, t);
    sum.y += move.image.y * done(move, t);
  }
  return sum;
}

OpticsError largest_change(const OpticsChange& change, Duration length) {
  OpticsError sum;
  add(sum, sizes(change.per_minute), length.minutes());
  for (const OpticsMove& move : change.moves) add(sum, sizes(move.by), 1.0);
  return sum;
}

LowOrders wavefront_of(const OpticsError& error, Length green) {
  LowOrders w;
  w.noll(4) = green.m() * error.defocus_waves / kDefocusEdgePerRms;
  w.noll(8) = green.m() * error.coma_x_waves / kComaEdgePerRms;
  w.noll(7) = green.m() * error.coma_y_waves / kComaEdgePerRms;
  return w;
}

}  // namespace halfarc
