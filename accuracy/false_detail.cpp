// What an image shows beyond the resolution it claims, and the truth does not have.
#include <cmath>
#include <complex>
#include <numbers>

#include "clips.h"
#include "halfarc/app/compare_truth.h"
#include "halfarc/restore/spectrum.h"
#include "ladder.h"

namespace halfarc::accuracy {
namespace {

constexpr double kCoarse = 1.3;  // arcsec: what survives a Gaussian of that sigma is no detail (app/compare_truth.h)

// Of the image's detail power, the share that is finer than `claimed` and, ring by ring, not correlated with the truth.
double false_share(View<const float> image, View<const float> truth, PlateScale scale, Angle claimed) {
  const Spectrum have = spectrum_of(image), want = spectrum_of(truth);
  const Rings rings(have.width, have.height);
  const auto count = static_cast<std::size_t>(rings.count());
  std::vector<std::complex<double>> shared(count);
  std::vector<double> ours(count), theirs(count);
  for (int ky = 0; ky < have.height; ++ky) {
    for (int kx = 0; kx <= have.width / 2; ++kx) {
      const auto ring = static_cast<std::size_t>(rings.ring(kx, ky));
      const std::complex<double> h = have.values(kx, ky), w = want.values(kx, ky);
      const double copies = have.copies(kx);
      shared[ring] += copies * h * std::conj(w);
      ours[ring] += copies * std::norm(h);
      theirs[ring] += copies * std::norm(w);
    }
  }
  double detail = 0.0, wrong = 0.0;
  for (std::size_t r = 1; r < count; ++r) {
    const double per_arcsec = rings.frequency(static_cast<int>(r)) / scale.arcsec_per_px();
    const double turn = 2.0 * std::numbers::pi * per_arcsec * kCoarse;
    const double power = ours[r] * std::pow(1.0 - std::exp(-0.5 * turn * turn), 2);
    detail += power;
    if (per_arcsec <= 1.0 / claimed.arcsec() || !(ours[r] * theirs[r] > 0.0)) continue;
    wrong += power * (1.0 - std::norm(shared[r]) / (ours[r] * theirs[r]));
  }
  return wrong / detail;
}

Result<std::vector<Trial>> trials(const ImageConditions& c, std::uint64_t seed, const std::filesystem::path& folder) {
  HALFARC_TRY(const SimulatedImage made, simulate_and_make(c, seed, folder));
  std::vector<Trial> found;
  for (std::size_t plane = 0; plane < 3; ++plane) {
    const PixelOffset moved = made.compare(plane).shift;
    const Plane<float> laid = moved_by(made.image.picture.restored[plane], -moved);
    const Angle claimed = made.image.made.resolved[plane].value;
    found.push_back({100.0 * false_share(laid, made.truth(plane), made.shot.scale, claimed), 1.0});
  }
  return found;
}

Rung rung(std::string name, ImageConditions c, double bar, bool in_small = false) {
  return {name + ", " + words(c), {bar}, in_small, [c](std::uint64_t seed, const std::filesystem::path& folder) {
            return trials(c, seed, folder);
          }};
}

}  // namespace

Ladder false_detail_ladder() {
  constexpr double kBar = 5.0;
  Ladder ladder{"false-detail",
                "Detail that is not in the truth",
                "% of the power of detail",
                "Of the power of an image's detail (finer than a Gaussian of 1.3\" sigma), what lies beyond the "
                "resolution it claims and is not correlated with the truth; a colour plane a trial. Bar: 5 %.",
                {
                    rung("ruddy disc", {BodyKind::ruddy_disc, 1.2, 1500}, kBar),
                    rung("ruddy disc", {BodyKind::ruddy_disc, 2.0, 1500}, kBar),
                    rung("ruddy disc", {BodyKind::ruddy_disc, 2.0, 400}, kBar, true),
                    rung("banded giant", {BodyKind::banded_giant, 2.0, 1000}, kBar),
                    rung("ruddy disc", {BodyKind::ruddy_disc, 1.5, 1500, {30.0}}, 0.0),
                    rung("ruddy disc", {BodyKind::ruddy_disc, 2.0, 1500, {90.0, 0.2}}, 0.0),
                },
                6,
                1};
  ladder.states_errors = false;
  return ladder;
}

}  // namespace halfarc::accuracy
