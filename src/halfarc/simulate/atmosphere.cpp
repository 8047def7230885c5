#include "halfarc/simulate/atmosphere.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace halfarc {
namespace {

constexpr double kCellsAcross = 40.0;  // of the aperture
constexpr int kSmallest = 1024;
constexpr int kLargest = 4096;

double unrepeated_path_m(int size, Length cell, Length aperture) {
  const double period = cell.m() * size;
  return 0.5 * period * period / aperture.m();
}

int size_for(Length path, Length cell, Length aperture) {
  int size = kSmallest;
  while (size < kLargest && unrepeated_path_m(size, cell, aperture) < path.m()) size *= 2;
  return size;
}

}  // namespace

Atmosphere::Atmosphere(const AirSpec& air, const Pupil& pupil, Duration length, Rng rng, Threads threads)
    : spells_(air.spells, rng.child("spells")), unrepeated_(Duration::s(std::numeric_limits<double>::infinity())) {
  double total = 0.0;
  for (const Layer& layer : air.layers) total += layer.weight;
  const Length cell = pupil.diameter / kCellsAcross;
  for (std::size_t i = 0; i < air.layers.size(); ++i) {
    const Layer& layer = air.layers[i];
    if (!(layer.weight > 0.0)) continue;
    Turbulence alone = air.turbulence;
    alone.r0 = alone.r0 * std::pow(layer.weight / total, -3.0 / 5.0);
    const Length path = Length::m(std::abs(layer.wind.m_per_s()) * length.s());
    const ScreenSpec spec{alone, cell, size_for(path, cell, pupil.diameter)};
    flows_.push_back({layer, PhaseScreen(spec, rng.child("layer", i), threads), rng.child("pulses", i)});
    const Length unrepeated = flows_.back().screen.unrepeated_path(pupil.diameter);
    if (layer.wind.m_per_s() != 0.0) {
      unrepeated_ = std::min(unrepeated_, Duration::s(unrepeated.m() / std::abs(layer.wind.m_per_s())));
    }
  }
}

void Atmosphere::add_path(std::span<const PupilPoint> points, Duration at, const SkyOffset& field,
                          std::span<float> opd_m) const {
  const double spell = spells_.path_factor(at);
  for (const Flow& flow : flows_) {
    const double strength = spell * pulse_at(flow.layer.pulses, at, flow.rng);
    if (strength == 0.0) continue;
    const Length travelled = Length::m(flow.layer.wind.m_per_s() * at.s());
    const PupilPoint aside{flow.layer.height * field.x.rad(), flow.layer.height * field.y.rad()};
    flow.screen.add_path(points, travelled, flow.layer.direction, aside, opd_m, static_cast<float>(strength));
  }
}

}  // namespace halfarc
