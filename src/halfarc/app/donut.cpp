#include "halfarc/app/donut.h"

namespace halfarc {
namespace {

constexpr double kWellExplained = 0.95;
constexpr double kPoorestAir_cm = 2.5;  // seeing of 4 arcsec
constexpr double kClearlyOut = 0.7;     // waves; nearer to focus the fit says nothing of coma that can be trusted

}  // namespace

bool Donut::tells_air() const { return optics && optics->explained > kWellExplained; }

Result<Donut> read_donut(const Recording& recording, const RecordingIndex& index, std::span<const double> times,
                         bool hollow, const std::optional<ClipOptics>& optics) {
  Donut donut;
  if (hollow) {
    HALFARC_TRY(donut.shape, ring_shape(recording, index));
  }
  if (!optics) {
    donut.why_no_optics =
        "without rig.toml the telescope is unknown, so there are no waves (`halfarc init` writes one)";
    return donut;
  }
  const auto ring = measure_star_ring(recording, index, times, *optics, Angle());
  if (ring) {
    const bool air = ring->r0.value.cm() > kPoorestAir_cm;
    if (hollow || (ring->defocus.value > kClearlyOut && air)) donut.optics = *ring;
    if (!hollow && !air) donut.why_no_optics = "too wide for a star near focus in any air: focus first";
    donut.wavelength = optics->wavelength;
  } else {
    donut.why_no_optics = ring.error().what;
  }
  return donut;
}

}  // namespace halfarc
