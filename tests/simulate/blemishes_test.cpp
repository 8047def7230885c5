#include "halfarc/simulate/blemishes.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc {
namespace {

TEST(Blemishes, DustTakesLightWhereItLies) {
  const std::vector<DustShadow> dust = {{{30.0, 20.0}, 16.0, 0.2}};
  const Blemishes blemishes({0.0, 0.0, dust}, 64, 48, Rng(1));
  Plane<float> light(64, 48);
  for (float& v : light.samples()) v = 100.0F;
  blemishes.mark(light);
  EXPECT_NEAR(light(30, 20), 80.0F, 1e-4F);
  EXPECT_NEAR(light(38, 20), 90.0F, 0.1F);  // half of the loss at half the diameter
  EXPECT_EQ(light(45, 20), 100.0F);
  EXPECT_EQ(light(30, 40), 100.0F);
}

TEST(Blemishes, HotPixelsAreAsManyAndAsHotAsSaid) {
  const Blemishes blemishes({2000.0, 150.0, {}}, 1000, 1000, Rng(2));
  const auto& hot = blemishes.hot_pixels();
  const auto count = static_cast<double>(hot.size());
  EXPECT_NEAR(count, 2000.0, 3.5 * std::sqrt(2000.0));
  double sum = 0.0;
  for (const auto& h : hot) sum += static_cast<double>(h.electrons);
  EXPECT_NEAR(sum / count, 150.0, 3.5 * 150.0 / std::sqrt(count));
  Plane<float> light(1000, 1000);
  blemishes.mark(light);
  double marked = 0.0;
  for (const float v : light.samples()) marked += static_cast<double>(v);
  EXPECT_NEAR(marked, sum, 1e-3 * sum);
}

TEST(Blemishes, StayInTheirPlaces) {
  const Blemishes a({500.0, 100.0, {}}, 300, 200, Rng(7));
  const Blemishes b({500.0, 100.0, {}}, 300, 200, Rng(7));
  ASSERT_EQ(a.hot_pixels().size(), b.hot_pixels().size());
  for (std::size_t i = 0; i < a.hot_pixels().size(); ++i) {
    EXPECT_EQ(a.hot_pixels()[i].x, b.hot_pixels()[i].x);
    EXPECT_EQ(a.hot_pixels()[i].electrons, b.hot_pixels()[i].electrons);
  }
}

}  // namespace
}  // namespace halfarc
