#include "halfarc/app/clip_light.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

std::string all(const std::vector<std::string>& lines) {
  std::string text;
  for (const std::string& line : lines) text += line + "\n";
  return text;
}

TEST(ClipLight, SaysGainAndReadNoiseOrTheGainAlone) {
  ClipLight light;
  light.camera = PhotonTransfer{{0.512, 0.013}, {1.62, 0.05}, 16.0, 900.0, true};
  EXPECT_EQ(all(light_lines(light)), "0.512 ± 0.013 electrons per ADU, read noise 1.620 ± 0.050 electrons\n");
  light.camera->read_noise_known = false;
  EXPECT_EQ(all(light_lines(light)), "0.512 ± 0.013 electrons per ADU\n");
}

TEST(ClipLight, PointsToWhatLiesOutsideAnEmptyFrame) {
  ClipLight light;
  light.sky = Gradient{{1.2, 0.1}, Measured<Angle>{Angle::deg(92.0), Angle::deg(5.0)}};
  EXPECT_NE(all(light_lines(light)).find("towards 3 o'clock (± 5°) by 1.20 ± 0.10 ADU"), std::string::npos);
  EXPECT_NE(all(light_advice(light)).find("move the telescope that way"), std::string::npos);
  light.sky = Gradient{{0.05, 0.1}, std::nullopt};
  EXPECT_NE(all(light_lines(light)).find("the sky is even"), std::string::npos);
  EXPECT_TRUE(light_advice(light).empty());
}

TEST(ClipLight, TellsOfDust) {
  ClipLight light;
  light.shadows = Shadows{{}, 0.0032};
  EXPECT_EQ(all(light_lines(light)), "no shadow of dust deeper than 0.3 %\n");
  EXPECT_TRUE(light_advice(light).empty());
  light.shadows->found = {{{412.3, 219.8}, {38.2, 0.6}, {0.042, 0.0004}}, {{10.0, 12.0}, {20.0, 1.0}, {0.02, 0.001}}};
  EXPECT_EQ(all(light_lines(light)),
            "2 shadows of dust; the darkest takes 4.200 ± 0.040 % of the light, 38.20 ± 0.60 pixels wide, at 412, 220\n");
  EXPECT_NE(all(light_advice(light)).find("Keep the target off its shadows"), std::string::npos);
  light.shadows->found = {{{412.3, 219.8}, {38.2, 0.6}, {0.004, 0.0002}}};  // not worth a hand near the sensor
  EXPECT_TRUE(light_advice(light).empty());
}

TEST(ClipLight, DoubtsTimes) {
  ClipLight light;
  light.times = TimeDoubt{Duration::s(3601.0), 1};
  EXPECT_NE(all(light_advice(light)).find("1 hour ahead of the file's own"), std::string::npos);
  light.times = TimeDoubt{Duration::s(1000.0), 0};
  EXPECT_NE(all(light_advice(light)).find("ends 17 minutes after its file was written"), std::string::npos);
}

TEST(ClipLight, SaysWhenStepsAreMissing) {
  ClipLight light;
  light.steps.colours[1].missing = 0.3;
  EXPECT_NE(all(light_advice(light)).find("was stretched"), std::string::npos);
}

}  // namespace
}  // namespace halfarc
