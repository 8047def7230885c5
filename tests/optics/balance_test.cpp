#include "halfarc/optics/balance.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace halfarc {
namespace {

Part part(const std::string& name, PartKind kind, double mm, double mass_g) {
  Part made;
  made.name = name;
  made.kind = kind;
  made.length = Length::mm(mm);
  made.mass_g = mass_g;
  return made;
}

Train train() { return {{part("back", PartKind::spacer, 80.0, 200.0), part("camera", PartKind::camera, 20.0, 100.0)}}; }

constexpr TrainMount kMount{Length::mm(200.0), false};

// Newtonian mechanics: 0.2 kg at 240 mm and 0.1 kg at 300 mm, with the standard gravity of ISO 2533.
TEST(Balance, MomentIsWeightTimesArmIso2533) {
  EXPECT_NEAR(rear_moment(mass_points(train(), kMount)), 9.80665 * (0.2 * 0.24 + 0.1 * 0.3), 1e-12);
}

TEST(Balance, MassInLineGoesWithTheCosineOfTheAltitude) {
  const auto points = mass_points(train(), kMount);
  const double level = rear_moment(points);
  for (const double deg : {0.0, 30.0, 60.0, 90.0})
    EXPECT_NEAR(rear_moment(points, Angle::deg(deg)), level * std::cos(deg * std::numbers::pi / 180.0), 1e-12);
}

// The plane geometry of levers, by turning the mass about the axis by hand.
TEST(Balance, WhatStandsUpOnADiagonalPullsAtTheZenith) {
  const Train up{{part("diagonal", PartKind::diagonal, 60.0, 300.0), part("camera", PartKind::camera, 20.0, 100.0)}};
  const auto points = mass_points(up, kMount);
  EXPECT_NEAR(points[1].behind.mm(), 230.0, 1e-9);
  EXPECT_NEAR(points[1].above.mm(), 50.0, 1e-9);
  EXPECT_NEAR(rear_moment(points, Angle::deg(90.0)), 9.80665 * 0.1 * 0.05, 1e-12);
  EXPECT_NEAR(rear_moment(points), 9.80665 * (0.3 + 0.1) * 0.23, 1e-12);
}

TEST(Balance, AnAddedPartWeighsAndPushesTheOthersBack) {
  const Train longer = *with_part(train(), 1, part("ring", PartKind::spacer, 40.0, 50.0));
  const auto change = moment_change(mass_points(train(), kMount), mass_points(longer, kMount));
  ASSERT_TRUE(change);
  EXPECT_NEAR(*change, 9.80665 * (0.05 * 0.30 + 0.1 * 0.04), 1e-12);
  const auto back = moment_change(mass_points(longer, kMount), mass_points(train(), kMount));
  ASSERT_TRUE(back);
  EXPECT_NEAR(*back, -*change, 1e-12);
}

TEST(Balance, AnUnknownMassSpoilsOnlyWhatItTakesPartIn) {
  Train before = train();
  before.parts[0].mass_g = 0.0;
  const Train ring = *with_part(before, 1, part("ring", PartKind::spacer, 40.0, 50.0));
  EXPECT_TRUE(moment_change(mass_points(before, kMount), mass_points(ring, kMount)));
  const Train pushed = *with_part(before, 0, part("ring", PartKind::spacer, 40.0, 50.0));
  EXPECT_FALSE(moment_change(mass_points(before, kMount), mass_points(pushed, kMount)));
  const Train unweighed = *with_part(train(), 1, part("ring", PartKind::spacer, 40.0, 0.0));
  EXPECT_FALSE(moment_change(mass_points(train(), kMount), mass_points(unweighed, kMount)));
}

TEST(Balance, CounterMassAndSlideBringTheMomentBackToNil) {
  auto points = mass_points(train(), kMount);
  const double moment = rear_moment(points);
  const Length ahead = Length::mm(150.0);
  points.push_back({"weight", counter_mass_g(moment, ahead), -ahead, {}});
  for (const double deg : {0.0, 45.0, 80.0}) EXPECT_NEAR(rear_moment(points, Angle::deg(deg)), 0.0, 1e-12);
  auto slid = mass_points(train(), kMount);
  slid.push_back({"weight", 1000.0, -slide_forward(moment, 1000.0), {}});
  EXPECT_NEAR(rear_moment(slid), 0.0, 1e-12);
}

// Common practice: what hangs on a Newtonian's focuser pulls the front down.
TEST(Balance, TheCameraOfANewtonianPullsTheFrontDownCommonPractice) {
  EXPECT_LT(rear_moment(mass_points(train(), typical_mount(newtonian()))), 0.0);
  for (const Telescope& rear : {schmidt_cassegrain(), maksutov(), refractor()})
    EXPECT_GT(rear_moment(mass_points(train(), typical_mount(rear))), 0.0);
}

}  // namespace
}  // namespace halfarc
