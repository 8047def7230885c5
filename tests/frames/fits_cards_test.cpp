#include "halfarc/frames/fits_cards.h"

#include <gtest/gtest.h>

#include <fstream>

#include "halfarc/frames/image_writers.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

TEST(FitsCards, GiveBackWhatTheWriterPutIn) {
  const ScratchFolder folder;
  const Plane<float> plane(8, 6);
  const std::string lengthy(150, 'x');
  const std::vector<ImageLayer> layers = {{"IMAGE", {plane.view()}}};
  const std::vector<FitsCard> written = {{"OBJECT", std::string("O'Kelder"), ""},
                                         {"PIXSCALE", 0.1753, "[arcsec/pixel]"},
                                         {"NFRAMES", std::int64_t{900}, ""},
                                         {"HISTORY", lengthy, ""},
                                         {"HISTORY", std::string("short"), ""}};
  ASSERT_TRUE(write_fits_image(folder.path() / "a.fits", layers, written));
  const auto cards = read_fits_cards(folder.path() / "a.fits");
  ASSERT_TRUE(cards) << cards.error().line();
  EXPECT_EQ(cards->text("OBJECT"), "O'Kelder");
  EXPECT_DOUBLE_EQ(*cards->number("PIXSCALE"), 0.1753);
  EXPECT_DOUBLE_EQ(*cards->number("NFRAMES"), 900.0);
  EXPECT_FALSE(cards->number("OBJECT").has_value());
  EXPECT_FALSE(cards->text("NOTHERE").has_value());
  ASSERT_GE(cards->history.size(), 2U);
  EXPECT_EQ(cards->history[cards->history.size() - 2], lengthy);
  EXPECT_EQ(cards->history.back(), "short");
}

TEST(FitsCards, OtherFilesAreOneLine) {
  const ScratchFolder folder;
  std::ofstream(folder.path() / "letter.fits") << "dear aunt";
  const auto cards = read_fits_cards(folder.path() / "letter.fits");
  ASSERT_FALSE(cards);
  EXPECT_EQ(cards.error().what, "cannot be read as FITS");
  EXPECT_FALSE(read_fits_cards(folder.path() / "gone.fits"));
}

}  // namespace
}  // namespace halfarc
