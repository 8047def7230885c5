#include "halfarc/frames/fits_layer.h"

#include <gtest/gtest.h>

#include <fstream>

#include "halfarc/frames/image_writers.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

TEST(FitsLayer, ReadsBackWhatWasWritten) {
  const ScratchFolder folder;
  Plane<float> red(5, 3), trust(5, 3);
  red(4, 1) = 7.5F;
  trust(0, 2) = 0.25F;
  const ImageLayer layers[] = {{"", {red.view(), trust.view(), red.view()}}, {"TRUST", {trust.view()}}};
  ASSERT_TRUE(write_fits_image(folder / "a.fits", layers, {}).has_value());
  const auto image = read_fits_layer(folder / "a.fits", "").value();
  ASSERT_EQ(image.size(), 3U);
  EXPECT_EQ(image[0](4, 1), 7.5F);
  EXPECT_EQ(image[1](0, 2), 0.25F);
  const auto one = read_fits_layer(folder / "a.fits", "TRUST").value();
  ASSERT_EQ(one.size(), 1U);
  EXPECT_EQ(one[0](0, 2), 0.25F);
  EXPECT_FALSE(read_fits_layer(folder / "a.fits", "HALF1"));
}

TEST(FitsLayer, RefusesWhatIsNoImage) {
  const ScratchFolder folder;
  std::ofstream(folder / "a.fits") << "no FITS";
  EXPECT_EQ(read_fits_layer(folder / "a.fits", "").error().kind, ErrorKind::bad_input);
  EXPECT_FALSE(read_fits_layer(folder / "none.fits", ""));
  EXPECT_FALSE(read_fits_layer(folder / "none.fits[1]", ""));
}

}  // namespace
}  // namespace halfarc
