#include "halfarc/measure/moon_match.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

// Moons along an equator tilted by 24 degrees, some arcseconds off it.
std::vector<MoonPlace> moons() {
  const auto at = [](const char* name, double along, double aside) {
    const double c = std::cos(0.42), s = std::sin(0.42);
    return MoonPlace{name, Angle::arcsec(along * s + aside * c), Angle::arcsec(along * c - aside * s),
                     Angle::arcsec(0.05)};
  };
  return {at("first", 55.0, 2.5), at("second", -38.0, -1.0), at("third", 96.0, -6.0), at("fourth", -140.0, 9.0)};
}

// What is known beforehand of pictures whose centre is off by kCentre pixels one way, at random.
constexpr double kCentre = 0.4;
MatchFrom about(bool mirrored) { return {{0.172, 0.006}, kCentre, mirrored}; }

// The picture of the moons listed: north `turn` degrees clockwise from up.
std::vector<SpotPlace> picture(std::initializer_list<std::size_t> which, double scale, double turn, bool mirrored,
                               double sigma, Rng& rng) {
  std::vector<SpotPlace> spots;
  const auto all = moons();
  const PixelOffset centre{kCentre * rng.normal(), kCentre * rng.normal()};
  for (const std::size_t i : which) {
    const double north = all[i].north.arcsec() / scale, east = (mirrored ? 1.0 : -1.0) * all[i].east.arcsec() / scale;
    const double c = std::cos(turn * Angle::deg(1.0).rad()), s = std::sin(turn * Angle::deg(1.0).rad());
    // Up and right on the image, then noise.
    const double up = north * c - east * s, right = north * s + east * c;
    const double error = std::hypot(sigma, 0.05 / scale);
    spots.push_back({{right + centre.x + error * rng.normal(), -up + centre.y + error * rng.normal()}, sigma});
  }
  return spots;
}

TEST(MoonMatch, TellsScaleAngleAndMirror) {
  Rng rng(3);
  for (const bool mirrored : {false, true}) {
    for (const double turn : {10.0, 130.0, 265.0}) {
      auto spots = picture({2, 0, 1}, 0.175, turn, mirrored, 0.3, rng);
      spots.push_back({{-250.0, 120.0}, 0.3});  // a star
      const auto match = match_moons(spots, moons(), about(false));
      ASSERT_TRUE(match) << turn;
      EXPECT_EQ(match->moons.size(), 3U);
      EXPECT_TRUE(match->mirror_known);
      EXPECT_EQ(match->mirrored, mirrored);
      EXPECT_NEAR(match->arcsec_per_px.value, 0.175, 4.0 * match->arcsec_per_px.sigma);
      EXPECT_NEAR(wrap_signed(match->north.value - Angle::deg(turn)).deg(), 0.0, 4.0 * match->north.sigma.deg());
      EXPECT_LT(match->arcsec_per_px.sigma, 2e-4);
    }
  }
}

TEST(MoonMatch, ErrorsAreHonest) {
  constexpr int kSeeds = 300;
  double scale = 0.0, turn = 0.0;
  for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
    Rng rng(seed);
    const auto match = match_moons(picture({0, 1}, 0.175, 40.0, false, 0.25, rng), moons(), about(false));
    ASSERT_TRUE(match) << seed;
    scale += std::pow((match->arcsec_per_px.value - 0.175) / match->arcsec_per_px.sigma, 2) / kSeeds;
    turn += std::pow(wrap_signed(match->north.value - Angle::deg(40.0)).deg() / match->north.sigma.deg(), 2) / kSeeds;
  }
  EXPECT_NEAR(scale, 1.0, 0.3);
  EXPECT_NEAR(turn, 1.0, 0.3);
}

// On one line through the planet both ways round fit; the owner's word decides, and the match says that it did.
TEST(MoonMatch, MoonsOnALineDoNotTellTheMirror) {
  std::vector<MoonPlace> line = moons();
  for (MoonPlace& m : line) m.north = Angle();
  for (const bool word : {false, true}) {
    const std::vector<SpotPlace> spots{{{-line[0].east.arcsec() / 0.175, 0.0}, 0.3},
                                       {{-line[1].east.arcsec() / 0.175, 0.0}, 0.3}};
    const auto match = match_moons(spots, line, about(word));
    ASSERT_TRUE(match);
    EXPECT_FALSE(match->mirror_known);
    EXPECT_EQ(match->mirrored, word);
  }
}

TEST(MoonMatch, SaysNothingWhereNothingFits) {
  Rng rng(5);
  EXPECT_FALSE(match_moons({}, moons(), about(false)));
  EXPECT_FALSE(match_moons(picture({0}, 0.175, 40.0, false, 0.3, rng), moons(), about(false)));
  const std::vector<SpotPlace> stars{{{100.0, 30.0}, 0.3}, {{-60.0, 190.0}, 0.3}};
  EXPECT_FALSE(match_moons(stars, moons(), about(false)));
  EXPECT_FALSE(match_moons(picture({0, 1}, 0.25, 40.0, false, 0.3, rng), moons(), about(false)));  // another scale
}

}  // namespace
}  // namespace halfarc
