#include "halfarc/simulate/craters.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

using Cell = std::array<std::int64_t, 3>;

std::uint64_t key(const Cell& cell) {
  std::uint64_t key = 0;
  for (const std::int64_t v : cell) key = (key << 21) | (static_cast<std::uint64_t>(v) & 0x1fffffU);
  return key;
}

// The cells of a lattice with that side that hold the places or lie beside them, each once.
std::vector<Cell> cells_about(const std::vector<Vector3>& places, double side) {
  std::vector<Cell> cells;
  Cell last{};
  for (const Vector3& p : places) {
    const Cell c = {std::llround(p.x / side), std::llround(p.y / side), std::llround(p.z / side)};
    if (!cells.empty() && c == last) continue;
    last = c;
    for (std::int64_t k = -1; k <= 1; ++k) {
      for (std::int64_t j = -1; j <= 1; ++j) {
        for (std::int64_t i = -1; i <= 1; ++i) cells.push_back({c[0] + i, c[1] + j, c[2] + k});
      }
    }
  }
  std::sort(cells.begin(), cells.end());
  cells.erase(std::unique(cells.begin(), cells.end()), cells.end());
  return cells;
}

}  // namespace

double crater_height(const Crater& crater, double distance) {
  if (distance >= kCraterReach) return 0.0;
  const double diameter = 2.0 * crater.radius;
  const double size = std::min(1.0, kSimpleDiameter / diameter);
  const double bowl = 0.2 * diameter;                                   // depth of a bowl of this width
  const double floor = size < 1.0 ? bowl * std::pow(size, 0.7) : bowl;  // what is filled up to
  const double rim = 0.036 * diameter * (size < 1.0 ? std::pow(size, 0.6) : 1.0);
  double height = 0.0;
  if (distance < 1.0) {
    height = std::max(-floor, -bowl + (bowl + rim) * distance * distance);
    const double hill = size < 0.7 && crater.freshness > 0.6 ? 0.4 * floor : 0.0;
    height += hill * std::exp(-distance * distance / 0.02);
  } else {
    const double fading = (kCraterReach - distance) / (kCraterReach - 1.0);
    height = rim * fading / (distance * distance * distance);
  }
  return crater.freshness * height;
}

std::vector<Crater> craters_near(const std::function<std::vector<Vector3>(double spacing)>& places, double smallest,
                                 double largest, const std::function<double(Vector3)>& kept, std::uint64_t seed) {
  constexpr double side_over_diameter = 2.6;  // one crater at most in so wide a cell
  const Rng rng(seed);
  std::vector<Crater> craters;
  std::uint64_t octave = 0;
  for (double diameter = 0.5 * largest; 2.0 * diameter > smallest; diameter *= 0.5, ++octave) {
    const double side = side_over_diameter * diameter;
    const Rng octave_rng = rng.child("craters of octave", octave);
    for (const Cell& cell : cells_about(places(side), side)) {
      Rng own = octave_rng.child("cell", key(cell));
      const auto within = [&](std::int64_t c) { return side * (static_cast<double>(c) + own.uniform() - 0.5); };
      const Vector3 p{within(cell[0]), within(cell[1]), within(cell[2])};
      const double from_middle = std::sqrt(dot(p, p));
      if (std::abs(from_middle - 1.0) > 0.5 * side) continue;  // a shell one side thick: one crater a side^2 of ground
      Crater crater;
      crater.centre = p * (1.0 / from_middle);
      crater.radius = 0.5 * diameter / std::sqrt(1.0 - 0.75 * own.uniform());
      const double age = own.uniform();
      crater.freshness = 0.15 + 0.85 * age * age * age;
      if (own.uniform() < kept(crater.centre) && 2.0 * crater.radius > smallest) craters.push_back(crater);
    }
  }
  return craters;
}

}  // namespace halfarc
