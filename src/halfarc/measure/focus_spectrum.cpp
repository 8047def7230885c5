#include "halfarc/measure/focus_spectrum.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <limits>
#include <vector>

#include "halfarc/base/fourier.h"
#include "halfarc/measure/aligned_mean.h"
#include "halfarc/measure/kind.h"

namespace halfarc {
namespace {

constexpr std::size_t kFewestFrames = 10;
constexpr double kShown = 3.0;  // a ring shows something when its cross power is so many times its own error

using Spectrum = Plane<std::complex<float>>;

Spectrum spectrum(Plane<float>& picture) {
  Spectrum out(picture.width() / 2 + 1, picture.height());
  fourier_forward(picture.width(), picture.height(), picture.data(), out.data());
  return out;
}

struct Ring {
  double cross = 0.0, own = 0.0, count = 0.0;
};

}  // namespace

Result<FocusSpectrum> focus_spectrum(const Recording& recording, const RecordingIndex& index, const ClipOptics& optics,
                                     int size) {
  const auto wanted = static_cast<std::size_t>(std::lround(kFocusKept * static_cast<double>(index.found())));
  const auto frames = sharpest(index, std::max(kFocusFewest, wanted));
  if (frames.size() < kFewestFrames)
    return bad_input("too few frames show an object", recording.info().path.string(), "record 5 s or more");
  std::array<std::vector<std::size_t>, 2> turns;
  for (std::size_t i = 0; i < frames.size(); ++i) turns[i % 2].push_back(frames[i]);

  const double background = summarise(recording.info(), index).background;
  std::array<Spectrum, 2> halves;
  for (std::size_t h = 0; h < 2; ++h) {
    HALFARC_TRY(const AlignedMean mean, aligned_mean(recording, index, turns[h], size));
    Picture picture = picture_of(mean.green(), background);
    halves[h] = spectrum(picture.samples);
  }

  const double per_bin =
      1.0 / (size * optics.scale.angle(1.0).rad() * cut_off(optics.pupil, optics.wavelength).per_rad());
  std::array<Ring, kFocusRings> rings;
  for (int y = 0; y < size; ++y) {
    for (int x = 0; x <= size / 2; ++x) {
      const double share = per_bin * std::hypot(x, 2 * y > size ? y - size : y);
      const double at = (share - kFirstRing) / kRingStep + 0.5;
      if (!(at >= 0.0) || at >= static_cast<double>(kFocusRings)) continue;
      const std::complex<double> a = halves[0](x, y), b = halves[1](x, y);
      Ring& ring = rings[static_cast<std::size_t>(at)];
      ring.cross += (a * std::conj(b)).real();
      ring.own += 0.5 * (std::norm(a) + std::norm(b));
      ring.count += 1.0;
    }
  }
  const double light = 0.5 * static_cast<double>(halves[0](0, 0).real() + halves[1](0, 0).real());
  FocusSpectrum out;
  out.frames = frames.size();
  for (std::size_t i = 0; i < kFocusRings; ++i) {
    const Ring& r = rings[i];
    const double noise = std::max(0.0, r.own - r.cross);
    // Of a cross spectrum of independent noise in both halves.
    const double error = std::sqrt((noise * noise + 2.0 * noise * std::max(0.0, r.cross)) / std::max(1.0, r.count));
    if (r.count > 0.0 && r.cross > kShown * error && light > 0.0) {
      out.amplitude[i] = 0.5 * std::log(r.cross / r.count) - std::log(light);
      out.sigma[i] = 0.5 * error / r.cross;
    } else {
      out.sigma[i] = std::numeric_limits<double>::infinity();
    }
  }
  return out;
}

}  // namespace halfarc
