#include "halfarc/app/train_target.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "halfarc/app/home.h"
#include "halfarc/app/rig_file.h"
#include "halfarc/app/solve_train.h"

namespace halfarc {
namespace {

// Jupiter 45 deg high over the town of the examples.
TrainTarget jupiter() {
  TrainTarget target;
  target.where.body = sky::Body::jupiter;
  target.where.site = example_site().site;
  target.where.utc = *Utc::parse("2026-11-26T05:00Z");
  return target;
}

Result<TrainAnswer> asked(const TrainTarget& target, const Rig& rig = example_rig()) {
  return solve_train({rig, {}, {}, target});
}

TEST(TrainTarget, BlueStandsHighestAndTheCorrectorBringsItDown) {
  const auto a = asked(jupiter());
  ASSERT_TRUE(a) << a.error().line();
  const TrainAtTarget& at = *a->target;
  EXPECT_GT(at.air[2].centroid, at.air[1].centroid);
  EXPECT_GT(at.air[1].centroid, at.air[0].centroid);
  ASSERT_TRUE(at.corrector);
  EXPECT_NEAR(at.corrector->residual.arcsec(), 0.0, 1e-6);
  EXPECT_LT(at.corrector->inside_green.arcsec(), 0.2 * at.air[1].rms_width.arcsec());
}

// Common practice: before the amplifier less prism is needed, behind it the cone is gentler.
TEST(TrainTarget, TheOrdersOfAmplifierAndCorrectorDifferCommonPractice) {
  const auto a = asked(jupiter());
  ASSERT_TRUE(a);
  const TrainAtTarget& at = *a->target;
  ASSERT_TRUE(at.corrector && at.other);
  EXPECT_EQ(at.corrector->place, "behind the amplifier");
  EXPECT_EQ(at.other->place, "before the amplifier");
  EXPECT_LT(at.other->setting.marks, at.corrector->setting.marks);
  ASSERT_TRUE(at.corrector->strehl && at.other->strehl);
  EXPECT_LT(*at.other->strehl, *at.corrector->strehl);
}

// Common practice: moving the levers moves the target. A dispersion that is cancelled is a fixed share of the pull, so
// in either order the target moves as far.
TEST(TrainTarget, MovingTheLeversMovesTheTargetCommonPractice) {
  Rig rig = example_rig();
  rig.corrector->roll = Angle::deg(90.0);
  const auto a = asked(jupiter(), rig);
  ASSERT_TRUE(a);
  const CorrectorThere& here = *a->target->corrector;
  EXPECT_GT(here.target_shift.length(), 50.0);
  EXPECT_NEAR(direction_of(here.target_shift).deg(), 90.0, 2.0);
  EXPECT_NEAR(a->target->other->target_shift.length() / here.target_shift.length(), 1.0, 0.05);
}

TEST(TrainTarget, TheExposureFillsTheHistogramAsWished) {
  TrainTarget target = jupiter();
  target.peak = 0.6;
  const auto a = asked(target);
  ASSERT_TRUE(a && a->target->exposure);
  const auto& histograms = a->target->exposure->histograms;
  EXPECT_NEAR(std::max({histograms[0].peak, histograms[1].peak, histograms[2].peak}), 0.6, 0.01);
  EXPECT_GE(a->target->region.width, 640);
}

// pi D / period: 0.2" a minute at D = 38", 9.925 h.
TEST(TrainTarget, JupiterSmearsByItsSpin) {
  const auto a = asked(jupiter());
  ASSERT_TRUE(a);
  const double diameter = a->target->where.disc.equatorial_diameter.arcsec();
  EXPECT_NEAR(a->target->smear.centre.arcsec_per_minute(), 3.14159 * diameter / (9.925 * 60.0), 0.002);
  EXPECT_NEAR(a->target->longest_run.s(), 0.25 / a->target->smear.worst.arcsec_per_s(), 1e-6);
}

TEST(TrainTarget, TheMoonTakesTheWholeSensor) {
  TrainTarget target = jupiter();
  target.where.body = sky::Body::moon;
  target.where.utc = *Utc::parse("2026-11-26T01:00Z");
  const auto a = asked(target);
  ASSERT_TRUE(a);
  EXPECT_EQ(a->target->region.width, 1920);
  EXPECT_EQ(find_reason(a->why, "smear/centre_arcsec_per_min"), nullptr);
}

TEST(TrainTarget, AMonochromeCameraSeesOneWidth) {
  Rig rig = example_rig();
  rig.mosaic = Mosaic::mono;
  const auto a = asked(jupiter(), rig);
  ASSERT_TRUE(a);
  EXPECT_NE(find_reason(a->why, "dispersion/inside_arcsec"), nullptr);
  EXPECT_EQ(find_reason(a->why, "dispersion/red_minus_green_arcsec"), nullptr);
  EXPECT_GT(a->target->corrector->setting.marks, 0.1);
}

TEST(TrainTarget, RefusesTheSunAndWhatIsBelowTheHorizon) {
  TrainTarget target = jupiter();
  target.where.body = sky::Body::sun;
  target.where.utc = *Utc::parse("2026-10-25T12:00Z");
  EXPECT_EQ(asked(target).error().kind, ErrorKind::refused);
  target.where.body = sky::Body::venus;
  EXPECT_EQ(asked(target).error().kind, ErrorKind::refused);
  target = jupiter();
  target.where.utc = *Utc::parse("2026-11-25T18:00Z");
  EXPECT_EQ(asked(target).error().kind, ErrorKind::bad_input);
}

}  // namespace
}  // namespace halfarc
