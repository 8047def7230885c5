#include "halfarc/app/donut_words.h"

#include <gtest/gtest.h>
namespace halfarc {
namespace {

Donut donut(double coma_x, double coma_sigma, double plume) {
  Donut d;
  d.shape = RingShape{{60.0, 0.2}, {25.0, 0.3}, {0.03, 0.002}, {0.0, 0.002}};
  StarRing r;
  r.defocus = {5.0, 0.02};
  r.coma_x = {coma_x, coma_sigma};
  r.coma_y = {0.0, coma_sigma};
  r.astigmatism = r.astigmatism_45 = {0.01, 0.01};
  r.r0 = {Length::cm(6.0), Length::cm(0.2)};
  r.plume = {plume, 0.01};
  r.span = Duration::s(10.0);
  r.explained = 0.98;
  d.optics = r;
  d.wavelength = Length::nm(540.0);
  return d;
}

std::string all(const std::vector<std::string>& lines) {
  std::string text;
  for (const std::string& line : lines) text += line + "\n";
  return text;
}

TEST(DonutWords, SaysWhatStandsOut) {
  const std::string text = all(donut_lines(donut(-0.3, 0.01, 0.0)));
  EXPECT_NE(text.find("60.00 ± 0.20 px across"), std::string::npos) << text;
  EXPECT_NE(text.find("the hole is off the middle by 3.00 ± 0.20 % of the ring, towards 3 o'clock"), std::string::npos);
  EXPECT_NE(text.find("coma of 0.300 ± 0.010 waves at the edge, its flare towards 9 o'clock"), std::string::npos);
  EXPECT_EQ(text.find("astigmatism"), std::string::npos);
  EXPECT_EQ(text.find("warm air"), std::string::npos);
}

TEST(DonutWords, LeavesTheCollimationAloneWithinTheError) {
  EXPECT_NE(all(donut_advice(donut(0.02, 0.01, 0.0))).find("Leave the collimation alone"), std::string::npos);
  EXPECT_EQ(all(donut_advice(donut(0.30, 0.01, 0.0))).find("Leave the collimation alone"), std::string::npos);
}

// What more seconds would bring, and when they would bring nothing.
TEST(DonutWords, SaysWhatTheAirAllows) {
  EXPECT_NE(all(donut_advice(donut(0.5, 0.04, 0.0))).find("a clip of 40 s would bring 0.02"), std::string::npos);
  EXPECT_NE(all(donut_advice(donut(0.5, 0.2, 0.0))).find("will not let coma be measured better than about 0.06"),
            std::string::npos);
}

TEST(DonutWords, APlumeWaits) {
  EXPECT_NE(all(donut_lines(donut(0.3, 0.01, 0.1))).find("warm air"), std::string::npos);
  EXPECT_NE(all(donut_advice(donut(0.3, 0.01, 0.1))).find("not settled"), std::string::npos);
}

}  // namespace
}  // namespace halfarc
