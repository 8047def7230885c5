#include "halfarc/optics/amplifier.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

// A second route: image after image, 1/image = 1/object + 1/f, from the telescope's focus to the sensor.
struct Image {
  double at_mm;
  double magnification;
};

Image imaged(const std::vector<ThinLens>& lenses, Length focus) {
  Image image{focus.mm(), 1.0};
  for (const ThinLens& lens : lenses) {
    const double object = image.at_mm - lens.at.mm();
    const double distance = 1.0 / (1.0 / object + 1.0 / lens.focal_length.mm());
    image = {lens.at.mm() + distance, image.magnification * distance / object};
  }
  return image;
}

TEST(Amplifier, SingleLensMagnifiesAsItWasMadeTo) {
  const auto lens = single_amplifier(2.0, Length::mm(80.0), Length::mm(-30.0));
  EXPECT_NEAR(lens[0].focal_length.mm(), -80.0, 1e-12);
  const Amplification a = amplification(lens, Length::mm(50.0));
  EXPECT_NEAR(a.magnification, 2.0, 1e-12);
  EXPECT_NEAR(a.focus.mm(), 10.0, 1e-12);  // d / M behind the lens
  EXPECT_NEAR(a.focus_moves_out.mm(), -40.0, 1e-12);
  EXPECT_NEAR(a.per_mm, 1.0 / 80.0, 1e-12);
}

TEST(Amplifier, ImageAfterImageAgrees) {
  for (const auto& lenses :
       {single_amplifier(2.5, Length::mm(75.0), Length::mm(-20.0)),
        telecentric_amplifier(2.0, Length::mm(50.0), Length::mm(5.0)),
        std::vector<ThinLens>{{Length::mm(0.0), Length::mm(-40.0)}, {Length::mm(30.0), Length::mm(90.0)}}}) {
    for (const double sensor : {85.0, 110.0, 140.0}) {
      const Amplification a = amplification(lenses, Length::mm(sensor));
      const Image image = imaged(lenses, a.focus);
      EXPECT_NEAR(image.at_mm, sensor, 1e-9);
      EXPECT_NEAR(image.magnification, a.magnification, 1e-9);
      const double further = amplification(lenses, Length::mm(sensor + 1.0)).magnification;
      EXPECT_NEAR(further - a.magnification, a.per_mm, 1e-9);
    }
  }
}

TEST(Amplifier, TelecentricPairDoesNotMindTheDistance) {
  const auto pair = telecentric_amplifier(2.0, Length::mm(50.0), Length::mm(0.0));
  for (const double sensor : {70.0, 120.0, 150.0, 200.0}) {  // 150: parallel light between the lenses
    const Amplification a = amplification(pair, Length::mm(sensor));
    EXPECT_NEAR(a.magnification, 2.0, 1e-12);
    EXPECT_NEAR(a.per_mm, 0.0, 1e-12);
  }
}

TEST(Amplifier, NothingIsLeftAlone) {
  const Amplification a = amplification({}, Length::mm(40.0));
  EXPECT_EQ(a.magnification, 1.0);
  EXPECT_EQ(a.focus_moves_out.mm(), 0.0);
}

}  // namespace
}  // namespace halfarc
