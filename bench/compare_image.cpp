// build/release/bench/compare_image IMAGE.fits TRUTH.fits [arcsec per pixel]
//
// How near an image comes to the truth of a simulated recording, as `halfarc simulate` writes it: the scene through a
// perfect telescope in the primary image, the bare scene beside it.
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <string>

#include "halfarc/app/compare_truth.h"
#include "halfarc/frames/fits_layer.h"
#include "halfarc/restore/restore_image.h"

using namespace halfarc;

namespace {

constexpr const char* kNames[] = {"red", "green", "blue"};

int fail(const std::string& why) {
  fmt::print(stderr, "compare_image: {}\n", why);
  return 1;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 3) return fail("give an image and its truth");
  const auto image = read_fits_layer(argv[1], "");
  const auto truth = read_fits_layer(argv[2], "");
  const auto scene = read_fits_layer(argv[2], "SCENE");
  if (!image) return fail(image.error().line());
  if (!truth) return fail(truth.error().line());
  if (!scene) return fail(scene.error().line());
  const double scale = argc > 3 ? std::atof(argv[3]) : 0.1753;
  if (!(scale > 0.0)) return fail("the scale must be a number above 0");
  if (image->front().width() != truth->front().width() || image->front().height() != truth->front().height()) {
    return fail("image and truth differ in size");
  }
  const bool mono = image->size() == 1;
  for (std::size_t c = 0; c < image->size(); ++c) {
    const Colour colour = mono ? Colour::green : static_cast<Colour>(c);
    const std::size_t plane = std::min(mono ? 1 : c, truth->size() - 1);
    const Angle finest = cut_off(Aperture{}.pupil, plane_wavelength(colour, mono)).period();
    const PlaneComparison found =
        compare_plane((*image)[c], (*truth)[plane], (*scene)[plane], PlateScale::arcsec_per_px(scale), finest);
    fmt::print("bench: {} detail correlation {:.4f}, half correlation at {:.3f}\"\n",
               kNames[static_cast<std::size_t>(colour)], found.detail_correlation,
               found.half_correlation_period.arcsec());
  }
  return 0;
}
