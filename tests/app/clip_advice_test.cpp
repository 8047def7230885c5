#include "halfarc/app/clip_advice.h"

#include <gtest/gtest.h>

#include <vector>

#include "halfarc/app/advice_basis.h"

namespace halfarc {
namespace {

ClipCheck star_with_coma(double waves, double sigma) {
  ClipCheck check;
  check.kind = ClipKind::star;
  StarRing ring;
  ring.defocus = {5.0, 0.05};
  ring.coma_x = {waves, sigma};
  ring.coma_y = {0.0, sigma};
  check.donut = Donut{};
  check.donut->optics = ring;
  return check;
}

TEST(ClipAdvice, OfAStarWithComaIsATestTurnAndNothingOfFocus) {
  const Rig rig = example_rig();
  const auto train = solve(rig);
  ASSERT_TRUE(train.has_value());
  const auto night = clip_advice(rig, *train, star_with_coma(1.0, 0.03));
  ASSERT_TRUE(night.has_value());
  ASSERT_EQ(night->advice.size(), 1U);
  EXPECT_TRUE(night->advice.front().test);
  const std::string json = advice_list_json(night->advice);
  EXPECT_NE(json.find("\"control\":\"screw-a\""), std::string::npos) << json;
  EXPECT_NE(json.find("\"direction\":\"clockwise\""), std::string::npos) << json;
}

TEST(ClipAdvice, UsesWhatTheNightHasTaught) {
  const Rig rig = example_rig();
  const auto train = solve(rig);
  ASSERT_TRUE(train.has_value());
  Tonight tonight;
  tonight.responses.screws = ScrewResponse{20.0, 0.0, {1.0, 0.0, 1.0}, 0.99};
  const auto night = clip_advice(rig, *train, star_with_coma(1.0, 0.03), tonight);
  ASSERT_TRUE(night.has_value());
  EXPECT_FALSE(night->advice.front().test);
}

TEST(ClipAdvice, LeavesAloneWithATurnOfNilAndNoDirection) {
  const Rig rig = example_rig();
  const auto train = solve(rig);
  ASSERT_TRUE(train.has_value());
  const auto night = clip_advice(rig, *train, star_with_coma(0.02, 0.02));
  ASSERT_TRUE(night.has_value());
  const std::string json = advice_list_json(night->advice);
  EXPECT_NE(json.find("\"turn\":0.0"), std::string::npos) << json;
  EXPECT_EQ(json.find("direction"), std::string::npos) << json;
}

}  // namespace
}  // namespace halfarc
