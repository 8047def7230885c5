#include "halfarc/simulate/truth_file.h"

#include <fitsio.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <string>
#include <vector>

namespace halfarc {
namespace {

std::filesystem::path scratch_folder() {
  std::string name = (std::filesystem::temp_directory_path() / "halfarc-XXXXXX").string();
  return mkdtemp(name.data());
}

// Read back with CFITSIO, which shares nothing with the writer's pixels.
std::vector<float> image(fitsfile* file, long pixels) {
  std::vector<float> values(static_cast<std::size_t>(pixels));
  int status = 0;
  fits_read_img(file, TFLOAT, 1, pixels, nullptr, values.data(), nullptr, &status);
  EXPECT_EQ(status, 0);
  return values;
}

TEST(TruthFile, HoldsPerfectImageSceneAndFrames) {
  ShotSpec shot;
  shot.width = 48;
  shot.height = 40;
  shot.body.equatorial_diameter = Angle::arcsec(4.0);
  shot.timing.frames = 5;
  Silent silent;
  const auto truth = simulate_recording(shot, {}, silent, [](const SimulatedFrame&) -> Result<void> { return {}; });
  ASSERT_TRUE(truth);
  const auto folder = scratch_folder();
  const auto path = folder / "truth.fits";
  ASSERT_TRUE(write_truth_file(path, shot, *truth));

  fitsfile* file = nullptr;
  int status = 0;
  ASSERT_EQ(fits_open_file(&file, path.c_str(), READONLY, &status), 0);
  const auto perfect = image(file, 48L * 40 * 3);
  EXPECT_EQ(perfect[0], truth->perfect[0].samples()[0]);
  EXPECT_EQ(perfect[std::size_t{48} * 40 + 48 * 20 + 24], truth->perfect[1](24, 20));
  double scale = 0.0;
  fits_read_key(file, TDOUBLE, "SCALE", &scale, nullptr, &status);
  EXPECT_NEAR(scale, 0.1753, 1e-9);
  char name[] = "SCENE";
  ASSERT_EQ(fits_movnam_hdu(file, IMAGE_HDU, name, 0, &status), 0);
  EXPECT_EQ(image(file, 48L * 40 * 3)[std::size_t{48} * 40 * 2 + 48 * 15 + 20], truth->scene[2](20, 15));
  char frames[] = "FRAMES";
  ASSERT_EQ(fits_movnam_hdu(file, IMAGE_HDU, frames, 0, &status), 0);
  const auto table = image(file, 16 * 5);
  EXPECT_NEAR(table[16 * 3], 0.034F, 1e-6F);
  EXPECT_NEAR(table[16 * 3 + 3], truth->frames[3].air.tilt_px.x, 1e-5);
  EXPECT_NEAR(table[16 * 3 + 6], truth->frames[3].air.centroid_px.y, 1e-5);
  EXPECT_EQ(table[16 * 3 + 8], 1.0F);   // Fried's length over the stated one
  EXPECT_EQ(table[16 * 3 + 13], 1.0F);  // no dew
  ASSERT_EQ(fits_movabs_hdu(file, 1, nullptr, &status), 0);
  double span = 0.0;
  fits_read_key(file, TDOUBLE, "AIRSPAN", &span, nullptr, &status);
  EXPECT_NEAR(span, truth->unrepeated.s(), 1e-6 * span);
  fits_close_file(file, &status);
  EXPECT_EQ(status, 0);
  std::filesystem::remove_all(folder);
}

}  // namespace
}  // namespace halfarc
