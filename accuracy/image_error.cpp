// The finished image against an oracle: the same frames, laid up by their true shifts, under the best linear filter.
#include <cmath>
#include <complex>

#include "clips.h"
#include "halfarc/app/compare_truth.h"
#include "halfarc/app/stack_runs.h"
#include "halfarc/restore/restore_image.h"
#include "halfarc/restore/spectrum.h"
#include "ladder.h"

namespace halfarc::accuracy {
namespace {

Plane<float> part_of(const Plane<float>& plane, const Window& w) {
  Plane<float> part(w.width, w.height);
  for (int y = 0; y < w.height; ++y) std::copy_n(plane.row(w.y + y) + w.x, w.width, part.row(y));
  return part;
}

// The isotropic filter that brings `picture` nearest to `truth`: ring by ring <T S*> / <|S|^2>. Nobody who does not
// know the truth can do better with a filter that knows no direction.
Plane<float> best_filtered(View<const float> picture, View<const float> truth) {
  Spectrum have = spectrum_of(picture);
  const Spectrum want = spectrum_of(truth);
  const Rings rings(have.width, have.height);
  std::vector<double> shared(static_cast<std::size_t>(rings.count())), power(shared.size());
  const auto each = [&](const auto& body) {
    for (int ky = 0; ky < have.height; ++ky) {
      for (int kx = 0; kx <= have.width / 2; ++kx) body(kx, ky, static_cast<std::size_t>(rings.ring(kx, ky)));
    }
  };
  each([&](int kx, int ky, std::size_t ring) {
    const std::complex<float> s = have.values(kx, ky);
    shared[ring] += have.copies(kx) * static_cast<double>((want.values(kx, ky) * std::conj(s)).real());
    power[ring] += have.copies(kx) * static_cast<double>(std::norm(s));
  });
  each([&](int kx, int ky, std::size_t ring) {
    have.values(kx, ky) *= static_cast<float>(power[ring] > 0.0 ? shared[ring] / power[ring] : 0.0);
  });
  return picture_of(have);
}

// Rms difference, after `picture` was scaled and lifted to lie nearest to `truth`.
double difference(View<const float> picture, View<const float> truth) {
  double n = 0.0, sp = 0.0, st = 0.0, spp = 0.0, stt = 0.0, spt = 0.0;
  for (int y = 0; y < truth.height(); ++y) {
    for (int x = 0; x < truth.width(); ++x) {
      const auto p = static_cast<double>(picture(x, y));
      const auto t = static_cast<double>(truth(x, y));
      n += 1.0;
      sp += p;
      st += t;
      spp += p * p;
      stt += t * t;
      spt += p * t;
    }
  }
  const double vp = spp - sp * sp / n, vt = stt - st * st / n, cov = spt - sp * st / n;
  return std::sqrt(std::max(0.0, vt - cov * cov / vp) / n);
}

// The kept frames once more, by their true shifts.
Result<ColourPlanes> true_stack(const StackedRuns& stacked, const SimulatedFiles& files) {
  HALFARC_TRY(const auto recording, open_recording(files.recording));
  const RecordingInfo& info = recording->info();
  Accumulator sum(info, stacked.stack.window);
  std::vector<std::byte> frame(info.bytes_per_frame());
  for (const AlignedFrame& kept : stacked.stack.kept) {
    HALFARC_CHECK(recording->read(kept.number, 1, frame));
    sum.add(info, frame, files.truth.frames[kept.number].shift_px());
  }
  return sum.mean().planes;
}

Result<std::vector<Trial>> trials(const ImageConditions& c, std::uint64_t seed, const std::filesystem::path& folder) {
  Silent progress;
  const ShotSpec shot = run_of(c, seed);
  HALFARC_TRY(const SimulatedFiles files, simulate_to_files(shot, folder / "run.fits", Threads{1}, progress));
  HALFARC_TRY(const StackedRuns stacked, stack_runs({files.recording}, 0.0, Threads{1}, progress));
  const Aperture aperture{shot.instrument.pupil, shot.scale};
  const RestoredImage image = restore_image(stacked.stack, {aperture, 1.0, Threads{1}});
  HALFARC_TRY(const ColourPlanes oracle, true_stack(stacked, files));
  std::vector<Trial> found;
  for (std::size_t plane = 0; plane < 3; ++plane) {
    const Plane<float> truth = part_of(files.truth.perfect[plane], stacked.stack.window);
    const Plane<float> scene = part_of(files.truth.scene[plane], stacked.stack.window);
    const Angle finest = cut_off(shot.instrument.pupil, shot.instrument.wavelengths[plane]).period();
    const PixelOffset moved = compare_plane(image.restored[plane], truth, scene, shot.scale, finest).shift;
    const double ours = difference(moved_by(image.restored[plane], -moved), truth);
    found.push_back({ours / difference(best_filtered(oracle[plane], truth), truth), 1.0});
  }
  return found;
}

Rung rung(std::string name, ImageConditions c, double bar, bool in_small = false) {
  return {name + ", " + words(c), {bar}, in_small, [c](std::uint64_t seed, const std::filesystem::path& folder) {
            return trials(c, seed, folder);
          }};
}

}  // namespace

Ladder image_error_ladder() {
  constexpr double kBar = 1.15;
  Ladder ladder{
      "image-error",
      "The finished image against an oracle",
      "oracle's errors",
      "The rms difference from the truth, over that of an oracle which knows every frame's true shift and the "
      "best isotropic filter for this very scene; a colour plane a trial, the same frames for both. Bar: "
      "1.15.",
      {
          rung("ruddy disc", {BodyKind::ruddy_disc, 1.2, 1500}, kBar, true),
          rung("ruddy disc", {BodyKind::ruddy_disc, 2.0, 1500}, kBar),
          rung("ruddy disc", {BodyKind::ruddy_disc, 2.0, 400}, kBar, true),
          rung("banded giant", {BodyKind::banded_giant, 2.0, 1000}, kBar),
          rung("banded giant", {BodyKind::banded_giant, 2.0, 1000, {}, 6.0}, 0.0),
          rung("ruddy disc", {BodyKind::ruddy_disc, 1.5, 1500, {30.0}}, 0.0),
          rung("ruddy disc", {BodyKind::ruddy_disc, 2.0, 1500, {90.0, 0.2}}, 0.0),
      },
      6,
      1};
  ladder.states_errors = false;
  return ladder;
}

}  // namespace halfarc::accuracy
