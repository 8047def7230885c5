#include "halfarc/app/clip_air.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

ClipAir air() {
  ClipAir a;
  a.seeing = seeing_of_r0({Length::cm(5.0), Length::cm(0.4)}, Length::nm(500.0));
  a.seeing.method = SeeingMethod::exposures;
  return a;
}

std::string all(const ClipAir& a) {
  std::string text;
  for (const std::string& line : air_lines(a)) text += line + "\n";
  return text;
}

TEST(ClipAir, SaysWidthWavelengthAndMethod) {
  const std::string text = all(air());
  EXPECT_NE(text.find("2.01 ± 0.16\" wide at 500 nm along the line of sight"), std::string::npos) << text;
  EXPECT_NE(text.find("differences between exposures"), std::string::npos);
  EXPECT_EQ(text.find("overhead"), std::string::npos);  // the airmass is not known
}

TEST(ClipAir, LooksOverheadWhereTheAirmassIsKnown) {
  ClipAir a = air();
  look_overhead(a, 5.0);
  EXPECT_FALSE(a.zenith);  // too low to tell
  look_overhead(a, 2.0);
  EXPECT_NE(all(a).find("1.33 ± 0.11\" overhead (airmass 2.00)"), std::string::npos) << all(a);
}

TEST(ClipAir, SpeaksOfShorterExposuresOnlyWhenTheyWouldGain) {
  ClipAir a = air();
  a.smear = Angle::arcsec(0.05);
  a.smear_of_half = Angle::arcsec(0.04);
  EXPECT_EQ(all(a).find("smears"), std::string::npos);
  a.smear = Angle::arcsec(0.20);
  a.smear_of_half = Angle::arcsec(0.11);
  EXPECT_NE(all(a).find("by 0.20\" rms, of half the exposure 0.11\""), std::string::npos) << all(a);
}

}  // namespace
}  // namespace halfarc
