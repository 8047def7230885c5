#include "halfarc/simulate/relief.h"

#include <cmath>

namespace halfarc {
namespace {

// A number in [-1, 1) that belongs to a lattice point for good.
double lattice_value(std::int64_t x, std::int64_t y, std::int64_t z, std::uint64_t seed) {
  std::uint64_t h = seed;
  h ^= static_cast<std::uint64_t>(x) * 0x9e3779b97f4a7c15ULL;
  h ^= static_cast<std::uint64_t>(y) * 0xc2b2ae3d27d4eb4fULL;
  h ^= static_cast<std::uint64_t>(z) * 0x165667b19e3779f9ULL;
  h = (h ^ (h >> 30)) * 0xbf58476d1ce4e5b9ULL;
  h = (h ^ (h >> 27)) * 0x94d049bb133111ebULL;
  return static_cast<double>((h ^ (h >> 31)) >> 11) * 0x1.0p-52 - 1.0;
}

double fade(double t) { return t * t * t * (t * (t * 6.0 - 15.0) + 10.0); }

double noise(Vector3 p, std::uint64_t seed) {
  const double fx = std::floor(p.x);
  const double fy = std::floor(p.y);
  const double fz = std::floor(p.z);
  const auto x = static_cast<std::int64_t>(fx);
  const auto y = static_cast<std::int64_t>(fy);
  const auto z = static_cast<std::int64_t>(fz);
  const double u = fade(p.x - fx);
  const double v = fade(p.y - fy);
  const double w = fade(p.z - fz);
  const auto line = [&](std::int64_t j, std::int64_t k) {
    return (1.0 - u) * lattice_value(x, j, k, seed) + u * lattice_value(x + 1, j, k, seed);
  };
  const auto sheet = [&](std::int64_t k) { return (1.0 - v) * line(y, k) + v * line(y + 1, k); };
  return (1.0 - w) * sheet(z) + w * sheet(z + 1);
}

}  // namespace

double relief(Vector3 place, const ReliefSpec& spec, std::uint64_t seed) {
  double sum = 0.0;
  double strength = 1.0;
  double frequency = spec.frequency;
  for (std::uint64_t octave = 0; octave < 16 && frequency < spec.finest; ++octave) {
    // The last octave fades in, so that detail comes gradually with magnification.
    const double visible = std::fmin(1.0, 2.0 * (spec.finest / frequency - 1.0));
    sum += strength * visible * noise(place * frequency, seed + octave * 0x632be59bd9b4e019ULL);
    strength *= spec.roughness;
    frequency *= 2.0;
  }
  return sum * 1.6 * (1.0 - spec.roughness);
}

}  // namespace halfarc
