#include "halfarc/simulate/craters.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc {
namespace {

// All of a globe, evenly (a spiral).
std::vector<Vector3> everywhere(double spacing) {
  std::vector<Vector3> places;
  const int n = static_cast<int>(60.0 / (spacing * spacing)) + 10;
  for (int i = 0; i < n; ++i) {
    const double z = 1.0 - 2.0 * (i + 0.5) / n;
    const double r = std::sqrt(1.0 - z * z);
    places.push_back({r * std::cos(2.39996 * i), r * std::sin(2.39996 * i), z});
  }
  return places;
}

const auto kAll = [](Vector3) { return 1.0; };

TEST(Craters, AreAsManyAsTheInverseSquareOfTheirSize) {
  const auto craters = craters_near(everywhere, 0.01, 0.16, kAll, 3);
  const auto larger_than = [&](double diameter) {
    double n = 0.0;
    for (const Crater& c : craters) n += 2.0 * c.radius > diameter ? 1.0 : 0.0;
    return n;
  };
  const double small = larger_than(0.02);
  const double large = larger_than(0.04);
  // Of the largest octave half the largest is the least: (1/d^2 - 1/D^2) of all.
  const double wanted = (1.0 / (0.02 * 0.02) - 1.0 / (0.16 * 0.16)) / (1.0 / (0.04 * 0.04) - 1.0 / (0.16 * 0.16));
  EXPECT_NEAR(small / large / wanted, 1.0, 3.5 / std::sqrt(large));
  for (const Crater& c : craters) EXPECT_NEAR(dot(c.centre, c.centre), 1.0, 1e-12);
}

TEST(Craters, TheSameAtAnyMagnification) {
  const auto coarse = craters_near(everywhere, 0.04, 0.16, kAll, 3);
  const auto fine = craters_near(everywhere, 0.02, 0.16, kAll, 3);
  ASSERT_GT(fine.size(), coarse.size());
  std::size_t found = 0;
  for (const Crater& c : coarse) {
    for (const Crater& f : fine) found += f.centre.x == c.centre.x && f.radius == c.radius ? 1U : 0U;
  }
  EXPECT_EQ(found, coarse.size());
}

// [Pike1977] (from memory): a fresh bowl is a fifth as deep as wide, its rim 0.036 of the width high; large ones
// flatter.
TEST(Craters, ShapesOfPike1977) {
  const Crater bowl{{1.0, 0.0, 0.0}, 0.002, 1.0};
  EXPECT_NEAR(crater_height(bowl, 0.0) / 0.004, -0.2, 1e-9);
  EXPECT_NEAR(crater_height(bowl, 1.0) / 0.004, 0.036, 1e-9);
  EXPECT_EQ(crater_height(bowl, kCraterReach), 0.0);
  const Crater wide{{1.0, 0.0, 0.0}, 0.03, 0.5};
  EXPECT_GT(crater_height(wide, 0.3) / 0.06, -0.1);
  EXPECT_EQ(crater_height(wide, 0.2), crater_height(wide, 0.5));  // a level floor
}

}  // namespace
}  // namespace halfarc
