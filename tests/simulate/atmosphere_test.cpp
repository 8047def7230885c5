#include "halfarc/simulate/atmosphere.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "halfarc/air/turbulence.h"

namespace halfarc {
namespace {

const Pupil kPupil{Length::mm(203.0), 0.34};

std::vector<PupilPoint> row() {
  std::vector<PupilPoint> points;
  for (int i = 0; i < 9; ++i) points.push_back({Length::cm(2.0 * (i - 4)), Length::cm(1.0)});
  return points;
}

std::vector<float> path(const Atmosphere& air, Duration at, const SkyOffset& field = {}) {
  const auto points = row();
  std::vector<float> opd(points.size(), 0.0F);
  air.add_path(points, at, field, opd);
  for (std::size_t i = 1; i < opd.size(); ++i) opd[i] -= opd[0];
  opd[0] = 0.0F;
  return opd;
}

TEST(Atmosphere, NoLayersNoPath) {
  const Atmosphere still({{}, {}}, kPupil, Duration::s(10.0), Rng(1));
  for (const float v : path(still, Duration::s(3.0))) EXPECT_EQ(v, 0.0F);
  EXPECT_TRUE(std::isinf(still.unrepeated().s()));
}

// Layers share the turbulence by weight: whatever their number, the mean square phase difference over 8 cm is that of
// the whole column. 16 nights of 24 moments; Monte-Carlo error 6 %.
TEST(Atmosphere, LayersAddUpToTheWholeColumn) {
  AirSpec air{{Length::cm(10.0), kSeeingWavelength, Length::m(20.0)}, {}};
  for (const double weight : {3.0, 1.0, 6.0}) {
    air.layers.push_back({weight, Speed::m_per_s(2.0 + weight), Angle::deg(40.0 * weight), Length::km(1.0)});
  }
  double squares = 0.0;
  int count = 0;
  for (std::uint64_t night = 0; night < 16; ++night) {
    const Atmosphere atmosphere(air, kPupil, Duration::s(1.0), Rng(night));
    for (int moment = 0; moment < 24; ++moment) {
      const double phase =
          static_cast<double>(path(atmosphere, Duration::s(0.2 * moment))[4]) * 2.0 * std::numbers::pi / 500e-9;
      squares += phase * phase;
      ++count;
    }
  }
  const double expected = phase_structure(air.turbulence, Length::cm(8.0), kSeeingWavelength);
  EXPECT_NEAR(squares / count / expected, 1.0, 0.2);
}

// Beams from two directions part with height: the same near the ground, different high up.
TEST(Atmosphere, FieldAngleMattersWithHeight) {
  const SkyOffset aside{Angle::arcsec(20.0), Angle::arcsec(0.0)};
  AirSpec air;
  air.layers = {{1.0, Speed::m_per_s(5.0), Angle::deg(0.0), Length::m(0.0)}};
  const Atmosphere low(air, kPupil, Duration::s(1.0), Rng(2));
  EXPECT_EQ(path(low, Duration::s(0.1)), path(low, Duration::s(0.1), aside));
  air.layers[0].height = Length::km(10.0);
  const Atmosphere high(air, kPupil, Duration::s(1.0), Rng(2));
  EXPECT_EQ(path(low, Duration::s(0.1)), path(high, Duration::s(0.1)));  // the axis does not know the height
  EXPECT_NE(path(high, Duration::s(0.1)), path(high, Duration::s(0.1), aside));
}

TEST(Atmosphere, LongerRecordingsGetLargerScreens) {
  const AirSpec air;
  const Atmosphere brief(air, kPupil, Duration::s(1.0), Rng(3));
  const Atmosphere lengthy(air, kPupil, Duration::s(15.0), Rng(3));
  EXPECT_GT(brief.unrepeated().s(), 1.0);
  EXPECT_GT(lengthy.unrepeated().s(), 15.0);
}

TEST(Atmosphere, SameForAnyNumberOfThreads) {
  const Atmosphere one({}, kPupil, Duration::s(1.0), Rng(4), Threads{1});
  const Atmosphere seven({}, kPupil, Duration::s(1.0), Rng(4), Threads{7});
  EXPECT_EQ(path(one, Duration::s(0.7)), path(seven, Duration::s(0.7)));
}

}  // namespace
}  // namespace halfarc
