#include "halfarc/frames/png_bytes.h"

#include <gtest/gtest.h>

#include <fstream>
#include <span>

#include "halfarc/frames/png_picture.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

TEST(PngBytes, OurOwnReaderReadsThem) {
  const ScratchFolder folder;
  const ScreenPicture picture{2, 2, 3, {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 255}};
  std::ofstream(folder / "a.png", std::ios::binary) << png_bytes(picture).value();
  const auto header = read_png_header(folder / "a.png").value();
  EXPECT_EQ(header.width, 2);
  std::vector<std::uint8_t> samples(12);
  ASSERT_TRUE(read_png(folder / "a.png", header, std::as_writable_bytes(std::span(samples))).has_value());
  EXPECT_EQ(samples, picture.samples);
}

TEST(PngBytes, RefusesSizesThatDoNotMatch) {
  EXPECT_FALSE(png_bytes({2, 2, 1, {1, 2, 3}}));
  EXPECT_FALSE(png_bytes({0, 0, 1, {}}));
  EXPECT_FALSE(png_bytes({1, 1, 2, {1, 2}}));
}

}  // namespace
}  // namespace halfarc
