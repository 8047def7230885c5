#include "halfarc/simulate/collimation.h"

#include <cmath>

namespace halfarc {

OpticsError coma_of(const Collimation& collimation) {
  OpticsError sum = collimation.at_first;
  for (const CollimationScrew& screw : collimation.screws) {
    const PixelOffset way = step_towards(screw.direction) * (screw.coma_waves_per_turn * screw.turns);
    sum.coma_x_waves += way.x;
    sum.coma_y_waves += way.y;
  }
  return sum;
}

SkyOffset image_shift(const Collimation& collimation) {
  SkyOffset sum;
  for (const CollimationScrew& screw : collimation.screws) {
    sum.x += screw.image_per_turn.x * screw.turns;
    sum.y += screw.image_per_turn.y * screw.turns;
  }
  return sum;
}

std::array<double, 3> turns_to_collimate(const Collimation& collimation) {
  const OpticsError coma = coma_of(collimation);
  std::array<double, 3> best{};
  double least = 0.0;
  for (std::size_t left = 0; left < 3; ++left) {
    const std::size_t i = (left + 1) % 3;
    const std::size_t j = (left + 2) % 3;
    const auto way = [&](std::size_t k) {
      return step_towards(collimation.screws[k].direction) * collimation.screws[k].coma_waves_per_turn;
    };
    const PixelOffset a = way(i);
    const PixelOffset b = way(j);
    const double det = a.x * b.y - a.y * b.x;
    std::array<double, 3> turns{};
    turns[i] = (-coma.coma_x_waves * b.y + coma.coma_y_waves * b.x) / det;
    turns[j] = (-coma.coma_y_waves * a.x + coma.coma_x_waves * a.y) / det;
    const double size = std::abs(turns[i]) + std::abs(turns[j]);
    if (left == 0 || size < least) {
      least = size;
      best = turns;
    }
  }
  return best;
}

}  // namespace halfarc
