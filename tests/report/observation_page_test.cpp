#include "halfarc/report/observation_page.h"

#include <gmock/gmock.h>

#include "jupiter.h"

namespace halfarc {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

TEST(ObservationPage, HoldsPictureAndDataAndNothingFromElsewhere) {
  const std::string page = observation_page(testing::full_observation(), {"not really a picture", 320, 320});
  EXPECT_THAT(page, HasSubstr("data:image/png;base64,bm90IHJlYWxseSBhIHBpY3R1cmU="));
  EXPECT_THAT(page, HasSubstr("<th scope='row'>Central meridian</th>"));
  EXPECT_THAT(page, Not(HasSubstr("src=")));
  EXPECT_THAT(page, Not(HasSubstr("<script")));
}

TEST(ObservationPage, WritesNamesAsText) {
  const std::string page = observation_page(testing::full_observation(), {});
  EXPECT_THAT(page, HasSubstr("A. Watcher &lt;at the harbour&gt;"));
  EXPECT_THAT(page, Not(HasSubstr("<svg")));
}

// With north up on the sky as seen, east is to the left; in a mirror it is to the right.
TEST(ObservationPage, DrawsEastOnItsSide) {
  Observation o = testing::full_observation();
  const auto x_of = [&](bool mirrored) {
    o.orientation = Orientation{Angle(), mirrored};
    const std::string svg = picture_with_data(o, {"p", 320, 320});
    const std::size_t letter = svg.find(">E<");
    const std::size_t text = svg.rfind("<text x='", letter);
    return std::stod(svg.substr(text + 9));
  };
  EXPECT_LT(x_of(false), x_of(true) - 50.0);
}

TEST(ObservationPage, BarIsWholeArcseconds) {
  const std::string svg = picture_with_data(testing::full_observation(), {"p", 320, 320});
  // A fifth of 320 pixels at 0.1753 is 11.2".
  EXPECT_THAT(svg, HasSubstr(">10\"<"));
}

}  // namespace
}  // namespace halfarc
