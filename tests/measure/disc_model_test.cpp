#include "halfarc/measure/disc_model.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc::disc_model {
namespace {

Samples grid(int size) {
  Samples s;
  s.width = s.height = size;
  s.spots = kSpots;
  s.belts = s.turns = true;
  for (int y = 0; y < size; y += 3)
    for (int x = 0; x < size; x += 3) s.all.push_back({x, y, 0.2, -0.3, 0.0, 1.0});
  return s;
}

Parameters some_disc() {
  Parameters p{};
  p[kX] = 31.2;
  p[kY] = 30.6;
  p[kRadius] = 20.0;
  p[kPole] = 0.4;
  p[kSigma] = 2.0;
  p[kForm] = 1.7;
  p[kBackground] = 5.0;
  p[kFlat] = 40.0;
  p[kDomed] = 80.0;
  for (std::size_t i = kMarkings; i < p.size(); ++i) p[i] = 0.02;
  return p;
}

// What the gradient says is what a change of the parameter does.
TEST(DiscModel, GradientsAreThoseOfTheModel) {
  const Samples samples = grid(63);
  const DiscShape shape{0.93, Angle::deg(10.0), Angle::deg(90.0), {}};
  const Parameters p = some_disc();
  const Model model(shape, false, samples, p, true);
  for (std::size_t i = 0; i < p.size(); ++i) {
    const int parameter = static_cast<int>(i);
    if (!samples.fitted(parameter)) continue;
    Parameters more = p;
    const double step = parameter == kPole ? 0.005 : parameter < kBent ? 0.02 : 0.05;
    more[i] += step;
    const Model changed(shape, false, samples, more, false);
    double predicted = 0.0, off = 0.0, length = 0.0;
    for (const Sample& s : samples.all) {
      Parameters gradient;
      const double here = model.at(s, &gradient);
      const double change = (changed.at(s, nullptr) - here) / step;
      predicted += gradient[i] * gradient[i];
      off += (change - gradient[i]) * (change - gradient[i]);
      length += change * change;
    }
    EXPECT_LT(off, 0.02 * length) << parameter;
    EXPECT_GT(predicted, 0.0) << parameter;
  }
}

TEST(DiscModel, CellsKeepTheMeanPlaceOfTheirSamples) {
  SamplePlane plane{Plane<float>(4, 2), Plane<float>(4, 2), {}, {}};
  plane.value(2, 0) = 10.0F;
  plane.weight(2, 0) = 1.0F;
  plane.value(3, 1) = 40.0F;
  plane.weight(3, 1) = 3.0F;
  const Samples s = bin_samples(plane, {0, 0, 4, 2}, 2);
  ASSERT_EQ(s.all.size(), 1U);
  EXPECT_EQ(s.all[0].column, 1);
  EXPECT_DOUBLE_EQ(s.all[0].value, 32.5);
  EXPECT_DOUBLE_EQ(s.all[0].weight, 4.0);
  // The mean place is (2.75, 0.75); the cell's centre (2.5, 0.5); in cells of two.
  EXPECT_DOUBLE_EQ(s.all[0].dx, 0.125);
  EXPECT_DOUBLE_EQ(s.all[0].dy, 0.125);
  // From a part's corner the places count anew.
  EXPECT_EQ(bin_samples(plane, {2, 0, 2, 2}, 2).all.at(0).column, 0);
  EXPECT_DOUBLE_EQ(bin_samples(plane, {2, 0, 2, 2}, 2).all.at(0).dx, 0.125);
}

TEST(DiscModel, APartIsAboutItsPlaceAndWithinThePlane) {
  const SamplePlane plane{Plane<float>(100, 60), Plane<float>(100, 60), {}, {}};
  const Part inside = part_about(plane, {50.0, 30.0}, 15.0);
  EXPECT_EQ(inside.width, 32);
  EXPECT_EQ(inside.left, 34);
  EXPECT_EQ(inside.top, 14);
  const Part corner = part_about(plane, {98.0, 2.0}, 15.0);
  EXPECT_EQ(corner.left, 68);
  EXPECT_EQ(corner.top, 0);
  const Part whole = part_about(plane, {50.0, 30.0}, 500.0);
  EXPECT_EQ(whole.width, 100);
  EXPECT_EQ(whole.height, 60);
}

}  // namespace
}  // namespace halfarc::disc_model
