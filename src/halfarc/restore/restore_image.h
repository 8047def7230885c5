// From two aligned halves to a picture whose detail is proven.
//
// In this order: the colour planes of each half are laid on the green one (colour_align.h); the halves' correlation
// inside the bright scene says what detail is real (halves.h); the frames' own disagreement says how much contrast the
// air has taken (blur.h); each plane is restored by the Wiener filter that both fix (wiener.h), the limb by what the whole
// picture agrees on and the markings by what they do, and, for comparison, by
// Richardson-Lucy stopped where the halves stop agreeing (deconvolve.h): the one whose restored half predicts the other
// half better is used. Both halves are restored alike, so that anyone can compare them.
#pragma once

#include <array>
#include <string>

#include "halfarc/restore/blur.h"
#include "halfarc/restore/colour_align.h"
#include "halfarc/restore/halves.h"
#include "halfarc/restore/stack.h"

namespace halfarc {

enum class RestoreMethod { wiener, richardson_lucy };

struct RestoreOptions {
  Aperture aperture;
  double strength = 1.0;  // 1 as measured; 0 leaves the mean as it is
  Threads threads;
};

struct RestoredImage {
  ColourPlanes restored;                        // green only for mono
  ColourPlanes mean;                            // the unrestored, colour-aligned stack
  std::array<ColourPlanes, 2> halves;           // restored alike
  Plane<float> trust;                           // 0..1, of the green plane
  Plane<float> scene;                           // 0..1: where the scene is (disc, or everything for a surface)
  std::array<ColourOffset, 3> colour_offset{};  // of red and blue against green, pixels
  std::array<RingCorrelation, 3> agreement;     // of the halves, before restoration, pooled for the claim
  std::array<Measured<double>, 3> resolved{};   // cycles per pixel: where the image correlates by 1/2 with the truth
  std::array<RestoreMethod, 3> method{};
  std::array<int, 3> iterations{};  // of Richardson-Lucy, as supported by the halves
  std::array<double, 3> noise{};    // of the restored plane, per pixel, in ADU
  std::array<double, 3> sky{};      // level taken off before restoring, ADU
  AirBlur blur;
};

RestoredImage restore_image(const Stack& stack, const RestoreOptions& options);

// The wavelength at which a colour plane of a one-shot-colour camera behind a UV/IR cut sees a planet, on average:
// 620, 535 and 465 nm; 550 nm for mono. Common practice; from memory.
Length plane_wavelength(Colour colour, bool mono);

}  // namespace halfarc
