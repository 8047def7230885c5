#include "halfarc/restore/local_air.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/restore/probe.h"
#include "shimmering_scene.h"

namespace halfarc {
namespace {

using testing::frame_of;
using testing::kSceneSize;
using testing::Spot;
using testing::Waves;

constexpr int kSpacing = 24;

// Readings of frames whose parts are moved by waves, another set a frame.
struct Night {
  std::vector<Probe> probes;
  std::vector<Readings> readings;
  std::vector<Waves> truth;

  Night(double rms, double length, double noise, std::uint64_t seed, std::uint64_t frames = 60) {
    const std::vector<Spot> scene = testing::spots(seed);
    probes = place_probes(frame_of(scene, Waves(Rng(1), 0.0, 100.0), 4.5, 0.0, Rng(2)), kSpacing, 500);
    for (std::uint64_t f = 0; f < frames; ++f) {
      truth.emplace_back(Rng(seed).child("waves", f), rms, length);
      const Plane<float> frame = frame_of(scene, truth.back(), 4.5, noise, Rng(seed).child("noise", f));
      Readings one;
      for (const Probe& probe : probes) one.push_back(reading(probe, frame));
      readings.push_back(std::move(one));
    }
  }
  LocalAir air() const { return {probes, readings, kSceneSize, kSceneSize, kSpacing}; }
};

// Rms of the true shifts less the fields, one axis, over the middle of the picture.
double rms_left(const Night& night, const LocalAir& air) {
  double squares = 0.0, count = 0.0;
  for (std::size_t f = 0; f < night.readings.size(); ++f) {
    const ShiftField field = air.field(night.readings[f]);
    for (int y = 40; y < kSceneSize - 40; y += 10) {
      for (int x = 40; x < kSceneSize - 40; x += 10) {
        const PixelPoint place{static_cast<double>(x), static_cast<double>(y)};
        const PixelOffset left = night.truth[f].at(place.x, place.y) - shift_at(field, place);
        squares += 0.5 * (left.x * left.x + left.y * left.y);
        count += 1.0;
      }
    }
  }
  return std::sqrt(squares / count);
}

TEST(LocalAir, FindsTheShiftsOfParts) {
  const Night night(0.7, 240.0, 2.0, 7);
  const LocalAir air = night.air();
  ASSERT_FALSE(air.same_all_over());
  EXPECT_NEAR(air.rms(), 0.7, 0.25);
  EXPECT_LT(rms_left(night, air), 0.3 * 0.7);
}

TEST(LocalAir, NoiseMakesItCautiousNotWild) {
  const Night night(0.7, 240.0, 30.0, 7);
  const LocalAir air = night.air();
  ASSERT_FALSE(air.same_all_over());
  EXPECT_LT(rms_left(night, air), 0.6 * 0.7);
  EXPECT_LT(air.undone(), 1.2 * 0.7 * 0.7);
}

TEST(LocalAir, AirThatIsTheSameAllOverGivesNoField) {
  for (const double noise : {2.0, 30.0}) {
    const Night night(0.0, 240.0, noise, 3);
    const LocalAir air = night.air();
    EXPECT_TRUE(air.same_all_over()) << noise;
    EXPECT_TRUE(air.field(night.readings.front()).empty());
    EXPECT_EQ(air.undone(), 0.0);
  }
}

TEST(LocalAir, LearnsNothingFromTooFewFrames) {
  EXPECT_TRUE(Night(0.7, 240.0, 2.0, 7, 20).air().same_all_over());
  EXPECT_TRUE(LocalAir({}, {}, 100, 100, 20).same_all_over());
}

TEST(LocalAir, OneWildReadingMovesNothing) {
  const Night night(0.7, 240.0, 2.0, 7);
  const LocalAir air = night.air();
  Readings wild = night.readings.front();
  const PixelPoint there = night.probes.front().place;
  const PixelOffset before = shift_at(air.field(wild), there);
  wild.front() += 50.0F;
  EXPECT_LT((shift_at(air.field(wild), there) - before).length(), 0.1);
}

TEST(LocalAir, PartsBelongWhereTheFramesHaveThemOnTheAverage) {
  Night night(0.7, 240.0, 2.0, 7);
  const LocalAir air = night.air();
  for (Readings& one : night.readings) {
    for (float& r : one) r += 0.4F;
  }
  const LocalAir moved = air.about(night.readings);
  Readings first = night.readings.front();
  const PixelOffset by_new = shift_at(moved.field(first), {120.0, 120.0});
  for (float& r : first) r -= 0.4F;
  const PixelOffset by_old = shift_at(air.field(first), {120.0, 120.0});
  EXPECT_LT((by_new - by_old).length(), 0.02);
}

}  // namespace
}  // namespace halfarc
