#include "halfarc/report/observation_text.h"

#include <gmock/gmock.h>

#include "jupiter.h"

namespace halfarc {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

TEST(ObservationText, StandsInSectionsWithAlignedLabels) {
  const std::string text = observation_text(testing::full_observation());
  EXPECT_THAT(text, HasSubstr("Observation\n  Object    Jupiter\n"));
  EXPECT_THAT(text, HasSubstr("Processing   1. frames graded\n               2. two halves"));
  EXPECT_THAT(text, HasSubstr("A white spot follows the meridian."));
}

TEST(ObservationText, CaptionStandsAlone) {
  EXPECT_EQ(caption(testing::full_observation()),
            "Jupiter, 2026 Nov 26 04:59.9 UT; central meridian I 123.4°, II 7.0°. 203 mm aperture at f/20, 2100 of "
            "10560 frames, altitude 48°, seeing 1.5\". Detail is proven down to 0.81\" (half-bit). Celestial north "
            "190° clockwise from up. 12.0 min derotated to the middle. A. Watcher <at the harbour>.");
}

TEST(ObservationText, CaptionSaysNothingOfWhatIsUnknown) {
  Observation o;
  o.object = "Venus";
  o.aperture = Length::mm(203.0);
  EXPECT_THAT(caption(o), Not(HasSubstr("frames")));
  EXPECT_THAT(caption(o), Not(HasSubstr("proven")));
}

}  // namespace
}  // namespace halfarc
