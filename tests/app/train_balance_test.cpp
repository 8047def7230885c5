#include "halfarc/app/train_balance.h"

#include <gtest/gtest.h>

#include "halfarc/app/rig_file.h"

namespace halfarc {
namespace {

Rig with(const char* words) {
  Rig rig = example_rig();
  EXPECT_TRUE(add_part(rig, words, rig.train.parts.size() - 1));
  return rig;
}

// A part of 300 g behind everything, and a camera that stands 20 mm further back.
TEST(TrainBalance, APartAtTheRearAsksForAWeightForward) {
  std::vector<Reason> why;
  const auto b = changed_balance(example_rig(), with("kind=spacer,name=ring,length_mm=20,mass_g=300"), {}, why);
  ASSERT_TRUE(b);
  EXPECT_GT(b->moment_newton_m, 0.5);
  EXPECT_LT(b->moment_newton_m, 2.0);
  EXPECT_NEAR(b->slide.m() * 9.80665, b->moment_newton_m, 1e-9);
  EXPECT_NE(b->words.find("forward"), std::string::npos);
  EXPECT_NE(b->words.find("not learned yet"), std::string::npos);
  EXPECT_EQ(why.size(), 5U);
}

TEST(TrainBalance, WhatWasLearnedIsPredicted) {
  std::vector<Reason> why;
  PointingResponse known;
  for (const double moment : {1.0, -1.0, 2.0})
    known =
        with_reading(known, {moment, Angle::arcsec(50.0 * moment), Angle::arcsec(-100.0 * moment), Angle::arcsec(3.0)});
  const auto b = changed_balance(example_rig(), with("kind=spacer,name=ring,length_mm=20,mass_g=300"), known, why);
  ASSERT_TRUE(b);
  EXPECT_NEAR(b->jump.altitude.arcsec(), 50.0 * b->moment_newton_m, 5.0);
  EXPECT_NE(b->words.find("to the left"), std::string::npos);
  EXPECT_LT(b->jump.sigma.arcsec(), 30.0);
}

TEST(TrainBalance, AnUnknownMassTellsNothing) {
  std::vector<Reason> why;
  EXPECT_FALSE(changed_balance(example_rig(), with("kind=spacer,name=ring,length_mm=20"), {}, why));
  EXPECT_TRUE(why.empty());
}

}  // namespace
}  // namespace halfarc
