#include "halfarc/frames/mosaic.h"

#include <gtest/gtest.h>

#include <string>

#include "halfarc/frames/fits_header.h"

namespace halfarc {
namespace {

// The four letters of a pattern's name are its four sites in reading order.
TEST(Mosaic, NamesAreReadFromTheTopLeft) {
  for (const Mosaic m : {Mosaic::rggb, Mosaic::grbg, Mosaic::gbrg, Mosaic::bggr}) {
    std::string read;
    for (const auto& [x, y] : {std::pair{0, 0}, {1, 0}, {0, 1}, {1, 1}}) {
      read += "RGB"[static_cast<int>(colour_at(m, x, y))];
      EXPECT_EQ(colour_at(m, x, y), colour_at(m, x + 2, y + 4));
    }
    EXPECT_EQ(read, name(m));
    EXPECT_EQ(mosaic_named(read), m);
    EXPECT_TRUE(is_bayer(m));
    EXPECT_EQ(colour_at(m, red_x(m), red_y(m)), Colour::red);
  }
}

TEST(Mosaic, NamesInAnyCapitals) {
  EXPECT_EQ(mosaic_named("rGgB"), Mosaic::rggb);
  EXPECT_EQ(mosaic_named("MONO"), Mosaic::mono);
  EXPECT_EQ(mosaic_named("CYYM"), std::nullopt);
  EXPECT_EQ(mosaic_named(""), std::nullopt);
  EXPECT_FALSE(is_bayer(Mosaic::mono));
  EXPECT_EQ(samples_per_pixel(Mosaic::rgb), 3);
}

// Reversing the rows puts the last row on top: the pattern read from there.
TEST(Mosaic, FollowsReversedRows) {
  for (const Mosaic m : {Mosaic::rggb, Mosaic::grbg, Mosaic::gbrg, Mosaic::bggr}) {
    for (const int height : {4, 5}) {
      for (int y = 0; y < 2; ++y) {
        EXPECT_EQ(colour_at(flipped_rows(m, height), 0, y), colour_at(m, 0, height - 1 - y));
        EXPECT_EQ(colour_at(flipped_rows(m, height), 1, y), colour_at(m, 1, height - 1 - y));
      }
    }
  }
  EXPECT_EQ(flipped_rows(Mosaic::mono, 4), Mosaic::mono);
}

}  // namespace
}  // namespace halfarc
