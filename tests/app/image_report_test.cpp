#include "halfarc/app/image_report.h"

#include <gtest/gtest.h>

#include <vector>

#include "halfarc/app/init_home.h"
#include "halfarc/frames/image_writers.h"
#include "halfarc/frames/plane.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

TEST(ImageReport, PlaceAndRigAreTheOwners) {
  const ScratchFolder folder;
  ASSERT_TRUE(init_home(init_asked(folder.path(), "sct", "57.1N,2.1W,12", "Kelderhaven").value()).has_value());
  const Plane<float> plane(8, 6);
  const std::vector<ImageLayer> layers = {{"IMAGE", {plane.view()}}};
  const std::vector<FitsCard> cards = {{"DATE-AVG", std::string("2026-12-05T03:00:04.995"), ""},
                                       {"OBJECT", std::string("Jupiter"), ""}};
  ASSERT_TRUE(write_fits_image(folder / "a.fits", layers, cards));
  const auto text = image_report(folder.path(), folder / "a.fits", "txt");
  ASSERT_TRUE(text) << text.error().line();
  EXPECT_NE(text->find("Jupiter"), std::string::npos);
  EXPECT_NE(text->find("Kelderhaven"), std::string::npos);
  EXPECT_NE(text->find("203 mm"), std::string::npos);
  EXPECT_FALSE(image_report(folder.path(), folder / "a.fits", "exe").has_value());
}

}  // namespace
}  // namespace halfarc
