#include "halfarc/app/solve_train.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/app/rig_file.h"

namespace halfarc {
namespace {

TrainAnswer solved(const TrainRequest& request) {
  const Result<TrainAnswer> answer = solve_train(request);
  EXPECT_TRUE(answer) << answer.error().line();
  return answer ? *answer : TrainAnswer{};
}

TrainRequest example(std::vector<std::string> remove, std::vector<std::string> add) {
  return {example_rig(), std::move(remove), std::move(add), {}};
}

Rig rig_of(const std::string& text) {
  const Result<Rig> rig = parse_rig_file(text, "rig.toml");
  EXPECT_TRUE(rig) << rig.error().line();
  return rig ? *rig : Rig{};
}

TrainAnswer added(const Rig& rig, const std::string& words) { return solved({rig, {}, {words}, {}}); }

TEST(SolveTrain, WithoutAChangeNothingIsAskedOfTheHand) {
  const TrainAnswer a = solved(example({}, {}));
  EXPECT_FALSE(a.change);
  EXPECT_FALSE(a.target);
  EXPECT_NEAR(a.scale.arcsec_per_px(), 0.1753, 0.0007);  // 206265" x 3.45 um / 4060 mm
  ASSERT_EQ(a.sampling.size(), 3U);
  EXPECT_GT(a.sampling[0].frame.pixels_per_resolution, a.sampling[2].frame.pixels_per_resolution);
}

// Common practice: the corrector before the camera asks for one way of the knob, the amplifier for the other.
TEST(SolveTrain, CorrectorAndAmplifierAskForOppositeDirectionsCommonPractice) {
  const Rig plain = rig_of("[[part]]\nkind = \"spacer\"\nlength_mm = 110\n");
  // Its lens stands at the end of a barrel that reaches 40 mm into the spacer.
  const TrainAnswer corrector = added(plain, "kind=corrector,length_mm=30");
  const TrainAnswer amplifier =
      added(plain, "kind=amplifier,length_mm=20,magnification=2,lens_to_sensor_mm=77.5,lens_mm=-40");
  ASSERT_TRUE(corrector.change && amplifier.change);
  EXPECT_NE(corrector.change->direction, amplifier.change->direction);
  EXPECT_GT(corrector.change->optics.back_focus.mm(), 20.0);
}

// Common practice: an amplifier of M makes the image M^2 dimmer.
TEST(SolveTrain, AnAmplifierOfMMakesTheImageMSquaredDimmerCommonPractice) {
  const TrainAnswer a = solved(example({"amplifier"}, {}));
  ASSERT_TRUE(a.change);
  const double kGlass = 0.97;  // of the light passes its lenses
  EXPECT_NEAR(a.change->optics.light_factor, std::pow(a.change->optics.scale_factor, -2.0) / kGlass, 0.01);
  EXPECT_NEAR(a.light_factor, 1.0, 0.03);
}

// Common practice: a 200 mm f/10 of the class gains about 5 % of focal ratio for each inch of back focus.
TEST(SolveTrain, AnInchOfExtensionLengthensTheFocalRatioByFivePercentCommonPractice) {
  const Rig plain = rig_of("[telescope]\naperture_mm = 200\n[[part]]\nkind = \"spacer\"\nlength_mm = 109.5\n");
  const TrainAnswer before = solved({plain, {}, {}, {}});
  const TrainAnswer after = added(plain, "kind=spacer,name=extension,length_mm=25.4");
  EXPECT_NEAR(before.train.focal_ratio, 10.0, 0.01);
  EXPECT_NEAR(after.train.focal_length / before.train.focal_length, 1.05, 0.01);
  ASSERT_TRUE(after.change);
  EXPECT_NEAR(after.change->optics.back_focus.mm(), 25.4, 1e-9);
}

// Common practice: a plate filter of 3 mm moves the focus outwards by about a millimetre.
TEST(SolveTrain, APlateMovesTheFocusByAThirdOfItsThicknessCommonPractice) {
  const Rig rig = rig_of("[[part]]\nkind = \"spacer\"\nlength_mm = 110\n");
  const TrainAnswer thin = added(rig, "kind=filter,length_mm=5,glass_mm=0");
  const TrainAnswer thick = added(rig, "kind=filter,length_mm=5,glass_mm=3");
  EXPECT_NEAR((thin.train.back_focus - thick.train.back_focus).mm(), 3.0 * (1.0 - 1.0 / 1.5168), 1e-6);
}

TEST(SolveTrain, SaysClockwiseOnlyWhenTheSenseOfTheKnobIsKnown) {
  Rig rig = example_rig();
  const std::string words = "kind=spacer,name=ring,length_mm=10,at=1";
  EXPECT_EQ(added(rig, words).change->direction, "moves the focus outwards");
  rig.knob_sense_known = true;
  rig.telescope.knob.clockwise_is_skyward = true;
  EXPECT_EQ(added(rig, words).change->direction, "clockwise");
  rig.telescope.knob.clockwise_is_skyward = false;
  EXPECT_EQ(added(rig, words).change->direction, "counter-clockwise");
}

TEST(SolveTrain, PartsGoWhereTheyAreToldTo) {
  const auto place = [](const std::string& at) {
    const TrainAnswer a = solved(example({}, {"kind=spacer,name=ring,length_mm=5" + at}));
    for (std::size_t i = 0; i < a.train.parts.size(); ++i) {
      if (a.train.parts[i].part.name == "ring") return i;
    }
    return std::size_t(99);
  };
  EXPECT_EQ(place(""), 4U);
  EXPECT_EQ(place(",at=1"), 0U);
  EXPECT_EQ(place(",at=UV/IR cut"), 3U);
  EXPECT_FALSE(solve_train(example({}, {"kind=spacer,length_mm=5,at=9"})));
  EXPECT_FALSE(solve_train(example({}, {"kind=spacer,length_mm=5,at=teapot"})));
  EXPECT_FALSE(solve_train(example({"teapot"}, {})));
}

TEST(SolveTrain, APartMayBeReplacedByAnotherOfItsName) {
  const TrainAnswer a = solved(example({"UV/IR cut"}, {"kind=filter,name=UV/IR cut,length_mm=8"}));
  ASSERT_TRUE(a.change);
  EXPECT_EQ(a.change->part, "UV/IR cut out, UV/IR cut in");
}

TEST(SolveTrain, ACameraWithoutAMosaicHasOnePlane) {
  const TrainAnswer a = solved({rig_of("[camera]\nmosaic = \"mono\"\n"), {}, {}, {}});
  ASSERT_EQ(a.sampling.size(), 1U);
  EXPECT_EQ(a.sampling[0].plane, "mono");
}

TEST(SolveTrain, EveryReasonSaysHowAndWhereFrom) {
  for (const Reason& reason : solved(example({"amplifier"}, {})).why) {
    EXPECT_FALSE(reason.what.empty() || reason.formula.empty() || reason.source.empty()) << reason.field;
    EXPECT_TRUE(std::isfinite(reason.value)) << reason.field;
    EXPECT_FALSE(reason.inputs.empty()) << reason.field;
  }
}

}  // namespace
}  // namespace halfarc
