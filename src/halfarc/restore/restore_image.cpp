#include "halfarc/restore/restore_image.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "halfarc/restore/deconvolve.h"
#include "halfarc/restore/scene_mask.h"
#include "halfarc/restore/smooth.h"
#include "halfarc/restore/trust.h"
#include "halfarc/restore/wiener.h"

namespace halfarc {
namespace {

constexpr double kMostMaskEdge = 14.0;   // pixels over which the scene mask fades inwards
constexpr double kMaskEdgeShare = 0.35;  // of the scene's radius, at most
// Pixels: what is smoother than this is taken off before halves are compared, so that a mask does not carry broad light
// to high frequencies.
constexpr double kBroad = 6.0;
constexpr double kLitBorder = 0.05;  // of the border: a scene that lights more of it goes on beyond the picture
constexpr int kBorder = 24;           // pixels over which such a picture is faded
constexpr std::size_t kGreen = static_cast<std::size_t>(Colour::green);

Plane<float> mean_of(const Plane<float>& a, const Plane<float>& b) {
  Plane<float> out(a.width(), a.height());
  for (std::size_t i = 0; i < out.count(); ++i) out.samples()[i] = 0.5F * (a.samples()[i] + b.samples()[i]);
  return out;
}

void add_constant(Plane<float>& plane, float value) {
  for (float& v : plane.samples()) v += value;
}

constexpr double kFinest = 0.5;         // of the resolved period: trust looks at detail about that small
constexpr double kComparedFrom = 0.03;  // cycles per pixel: below, the fine part holds nothing

// The mask's fade for a scene of this size: wide, because a steep edge smears limb light over all frequencies.
double mask_edge(const Plane<float>& picture) {
  const MaskedScene rough = scene_mask(picture, 4.0);
  const double radius = std::sqrt(rough.filled * static_cast<double>(picture.count()) / std::numbers::pi);
  return std::clamp(kMaskEdgeShare * radius, 4.0, kMostMaskEdge);
}

// Mean square difference between `half` and what the restored other half predicts for it, inside the mask.
double misfit(const Plane<float>& half, const Plane<float>& restored_other, const Transfer& blur,
              const Plane<float>& mask) {
  Spectrum s = spectrum_of(restored_other);
  for (int ky = 0; ky < s.values.height(); ++ky) {
    for (int kx = 0; kx < s.values.width(); ++kx) s.values(kx, ky) *= static_cast<float>(blur(s.fx(kx), s.fy(ky)));
  }
  const Plane<float> prediction = picture_of(s);
  double sum = 0.0;
  for (std::size_t i = 0; i < half.count(); ++i) {
    const double d = static_cast<double>(half.samples()[i] - prediction.samples()[i]);
    sum += static_cast<double>(mask.samples()[i]) * d * d;
  }
  return sum;
}

// Standard deviation of the mean of two restored halves, from their difference inside the mask.
double noise_of_mean(const Plane<float>& a, const Plane<float>& b, const Plane<float>& mask) {
  double sum = 0.0;
  double weight = 0.0;
  for (std::size_t i = 0; i < a.count(); ++i) {
    const double d = 0.5 * static_cast<double>(a.samples()[i] - b.samples()[i]);
    sum += static_cast<double>(mask.samples()[i]) * d * d;
    weight += static_cast<double>(mask.samples()[i]);
  }
  return weight > 0.0 ? std::sqrt(sum / weight) : 0.0;
}

// The mean of what each run says: between runs the scene turns and moves, so their sums may not be added.
AirBlur blur_of_runs(const std::vector<AirLook>& runs, const Aperture& aperture, Length wavelength) {
  AirBlur mean;
  mean.kept = 0.0;
  mean.wavelength = wavelength;
  const double n = static_cast<double>(runs.size());
  double strength_variance = 0.0, shift_variance = 0.0, smear_square = 0.0;
  for (const AirLook& look : runs) {
    const AirBlur one = measure_blur(look.groups, aperture, wavelength, look.exposure, look.local_shift);
    mean.kept += look.kept / n;
    smear_square += std::pow(smear_within_exposures(look.places, kNeighbours, look.exposure), 2) / n;
    mean.d_over_r0.value += one.d_over_r0.value / n;
    mean.local_shift.value += one.local_shift.value / n;
    strength_variance += std::pow(one.d_over_r0.sigma / n, 2);
    shift_variance += std::pow(one.local_shift.sigma / n, 2);
    mean.measured = mean.measured || one.measured;
  }
  mean.d_over_r0.sigma = std::sqrt(strength_variance);
  mean.local_shift.sigma = std::sqrt(shift_variance);
  mean.smear = std::sqrt(smear_square);
  return mean;
}

std::vector<double> agreed(const RingCorrelation& rings) {
  return signal_to_noise(rings, resolved_frequency(rings, kComparedFrom).value, kComparedFrom);
}

RingCorrelation whole_correlation(const Plane<float>& a, const Plane<float>& b) {
  Plane<float> everything(a.width(), a.height());
  for (float& v : everything.samples()) v = 1.0F;
  return ring_correlation(fine_detail(a, kBroad), fine_detail(b, kBroad), everything);
}

// The share of the border that is as bright as the scene.
double lit_border(const Plane<float>& picture) {
  std::vector<float> all(picture.samples().begin(), picture.samples().end());
  const auto level = [&](double share) {
    const auto at = all.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(all.size() - 1));
    std::nth_element(all.begin(), at, all.end());
    return *at;
  };
  const float dark = level(0.01), bright = level(0.99);
  const float lit = dark + 0.25F * (bright - dark);
  double count = 0.0, above = 0.0;
  for (int y = 0; y < picture.height(); ++y) {
    for (int x = 0; x < picture.width(); ++x) {
      if (y > 0 && y + 1 < picture.height() && x > 0 && x + 1 < picture.width()) continue;
      count += 1.0;
      above += picture(x, y) > lit ? 1.0 : 0.0;
    }
  }
  return above / count;
}

// 1 in the middle, falling smoothly to 0 at the border.
Plane<float> inner_mask(int width, int height) {
  const auto rise = [](int i, int size) {
    const double inside = std::min({1.0, (i + 0.5) / kBorder, (size - i - 0.5) / kBorder});
    return 0.5 - 0.5 * std::cos(std::numbers::pi * inside);
  };
  Plane<float> mask(width, height);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) mask(x, y) = static_cast<float>(rise(x, width) * rise(y, height));
  }
  return mask;
}

// A picture that fills the frame ends at borders that do not fit together, and a transform takes them for one edge. So it
// is faded to its mean level there, restored, and the borders are taken from what it was.
Plane<float> faded(const Plane<float>& picture, const Plane<float>& mask) {
  double sum = 0.0, weight = 0.0;
  for (std::size_t i = 0; i < picture.count(); ++i) {
    sum += static_cast<double>(mask.samples()[i] * picture.samples()[i]);
    weight += static_cast<double>(mask.samples()[i]);
  }
  const float level = static_cast<float>(sum / std::max(1.0, weight));
  Plane<float> out(picture.width(), picture.height());
  for (std::size_t i = 0; i < out.count(); ++i) {
    out.samples()[i] = level + mask.samples()[i] * (picture.samples()[i] - level);
  }
  return out;
}

void take_borders(Plane<float>& restored, const Plane<float>& picture, const Plane<float>& mask) {
  constexpr float fading = 0.1F;  // of the mask: below 1 less this, nothing of the restored picture is used
  for (std::size_t i = 0; i < restored.count(); ++i) {
    const float share = std::clamp((mask.samples()[i] - (1.0F - fading)) / fading, 0.0F, 1.0F);
    restored.samples()[i] = picture.samples()[i] + share * (restored.samples()[i] - picture.samples()[i]);
  }
}

struct RestoredPlane {
  Plane<float> picture, half_a, half_b;
  RestoreMethod method = RestoreMethod::wiener;
  int iterations = 0;
};

// What both halves agree on within the scene, and on the whole picture: with its limb.
struct Agreement {
  std::vector<double> inside;
  std::vector<double> whole;
};

// Markings under the mask by what is agreed there, limb and sky by what is agreed on the whole: a bright limb carries
// finer detail than faint markings do, and no one filter serves both.
Plane<float> filtered(const Plane<float>& picture, const Transfer& blur, const Agreement& snr, const Plane<float>& mask,
                      const WienerOptions& options) {
  Plane<float> result = wiener_filter(picture, blur, snr.inside, options);
  if (snr.whole.empty()) return result;
  const Plane<float> limb = wiener_filter(picture, blur, snr.whole, options);
  for (std::size_t i = 0; i < result.count(); ++i) {
    result.samples()[i] += (1.0F - mask.samples()[i]) * (limb.samples()[i] - result.samples()[i]);
  }
  return result;
}

// One plane, sky already taken off, by the better-predicting of both methods.
RestoredPlane restore_plane(const Plane<float>& a, const Plane<float>& b, const Agreement& snr, const Transfer& blur,
                            const Plane<float>& mask, double strength) {
  const Plane<float> mean = mean_of(a, b);
  const WienerOptions wiener{strength, 0.02};
  RestoredPlane result{filtered(mean, blur, snr, mask, wiener), filtered(a, blur, snr, mask, wiener),
                       filtered(b, blur, snr, mask, wiener)};
  if (strength != 1.0) return result;

  float brightest = 0.0F;
  for (const float v : mean.samples()) brightest = std::max(brightest, v);
  const float background = std::max(0.02F * brightest, 1e-3F);
  StoppedDeconvolution stopped = supported_iterations(a, b, blur, background);
  result.iterations = stopped.iterations;
  const double by_wiener = misfit(a, result.half_b, blur, mask) + misfit(b, result.half_a, blur, mask);
  const double by_likelihood = misfit(a, stopped.half_b, blur, mask) + misfit(b, stopped.half_a, blur, mask);
  if (by_likelihood < by_wiener) {
    result.method = RestoreMethod::richardson_lucy;
    result.picture = richardson_lucy(mean, blur, background, stopped.iterations);
    result.half_a = std::move(stopped.half_a);
    result.half_b = std::move(stopped.half_b);
  }
  return result;
}

}  // namespace

Length plane_wavelength(Colour colour, bool mono) {
  if (mono) return Length::nm(550.0);
  switch (colour) {
    case Colour::red:
      return Length::nm(620.0);
    case Colour::green:
      return Length::nm(535.0);
    case Colour::blue:
      break;
  }
  return Length::nm(465.0);
}

RestoredImage restore_image(const Stack& stack, const RestoreOptions& options) {
  RestoredImage image;
  const ColourPlanes& a = stack.halves[0].planes;
  const ColourPlanes& b = stack.halves[1].planes;
  const bool mono = a[0].empty();
  const Plane<float> green = mean_of(a[kGreen], b[kGreen]);
  const Spectrum green_spectrum = spectrum_of(green);
  const double edge = mask_edge(green);
  MaskedScene scene = scene_mask(green, edge);
  const bool has_sky = lit_border(green) < kLitBorder;
  const Plane<float> inner = has_sky ? Plane<float>() : inner_mask(green.width(), green.height());
  image.blur = blur_of_runs(stack.air, options.aperture, plane_wavelength(Colour::green, mono));

  parallel_for(3, options.threads, [&](std::size_t c) {
    if (a[c].empty()) return;
    Plane<float> half_a = a[c].copy();
    Plane<float> half_b = b[c].copy();
    if (c != kGreen) {
      image.colour_offset[c] = colour_offset(green_spectrum, spectrum_of(mean_of(half_a, half_b)));
      if (image.colour_offset[c].found) {
        half_a = moved_by(half_a, -image.colour_offset[c].offset);
        half_b = moved_by(half_b, -image.colour_offset[c].offset);
      }
    }
    const MaskedScene here = scene_mask(mean_of(half_a, half_b), edge);
    image.sky[c] = static_cast<double>(here.sky);
    const RingCorrelation rings =
        ring_correlation(fine_detail(half_a, kBroad), fine_detail(half_b, kBroad), scene.mask);
    image.agreement[c] = pooled_for_claim(rings);
    const Length wavelength = plane_wavelength(static_cast<Colour>(c), mono);
    image.resolved[c] = fitted_crossing(rings, kHalfTrue, resolved_frequency(image.agreement[c], kComparedFrom));
    // Whatever noise says, nothing is finer than what the telescope passes.
    const double cut_off = cut_off_per_px(options.aperture, wavelength);
    image.resolved[c].value = std::min(image.resolved[c].value, cut_off);
    add_constant(half_a, -here.sky);
    add_constant(half_b, -here.sky);

    const Transfer blur = mean_transfer(image.blur, options.aperture, wavelength);
    const Plane<float> whole_a = half_a.copy(), whole_b = half_b.copy();
    if (!has_sky) {
      half_a = faded(half_a, inner);
      half_b = faded(half_b, inner);
    }
    half_a = passed_part(half_a, cut_off);
    half_b = passed_part(half_b, cut_off);
    const Agreement snr{agreed(rings), has_sky ? agreed(whole_correlation(half_a, half_b)) : std::vector<double>{}};
    RestoredPlane plane = restore_plane(half_a, half_b, snr, blur, scene.mask, options.strength);
    if (!has_sky) {
      take_borders(plane.picture, mean_of(whole_a, whole_b), inner);
      take_borders(plane.half_a, whole_a, inner);
      take_borders(plane.half_b, whole_b, inner);
    }
    image.method[c] = plane.method;
    image.iterations[c] = plane.iterations;
    image.noise[c] = noise_of_mean(plane.half_a, plane.half_b, scene.mask);
    image.restored[c] = std::move(plane.picture);
    image.halves[0][c] = std::move(plane.half_a);
    image.halves[1][c] = std::move(plane.half_b);
    image.mean[c] = mean_of(whole_a, whole_b);
  });
  const double resolved_period = 1.0 / std::max(image.resolved[kGreen].value, 0.02);
  image.trust = trust_map(image.halves[0][kGreen], image.halves[1][kGreen], kFinest * resolved_period, resolved_period);
  image.scene = std::move(scene.mask);
  return image;
}

}  // namespace halfarc
