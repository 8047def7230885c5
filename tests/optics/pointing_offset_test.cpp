#include "halfarc/optics/pointing_offset.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <vector>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

// A telescope whose response is drawn from the prior, and what its owner reads.
struct Owner {
  double altitude, azimuth;
  Rng rng;

  explicit Owner(std::uint64_t seed) : altitude(0.0), azimuth(0.0), rng(seed) {
    altitude = kPriorArcsecPerNm * rng.normal();
    azimuth = kPriorArcsecPerNm * rng.normal();
  }
  PointingReading reading(double moment, double sigma) {
    const double scatter = std::hypot(sigma, kHandling.arcsec());
    return {moment, Angle::arcsec(altitude * moment + scatter * rng.normal()),
            Angle::arcsec(azimuth * moment + scatter * rng.normal()), Angle::arcsec(sigma)};
  }
};

std::vector<PointingReading> three(Owner& owner) {
  return {owner.reading(0.4, 5.0), owner.reading(-0.9, 20.0), owner.reading(0.05, 2.0)};
}

TEST(PointingOffset, StandardErrorsAreHonestOverSeeds) {
  constexpr int kOwners = 4000;
  double response = 0.0, jump = 0.0;
  for (std::uint64_t seed = 0; seed < kOwners; ++seed) {
    Owner owner(seed);
    const PointingResponse known = with_readings({}, three(owner));
    response += std::pow(known.altitude - owner.altitude, 2) / known.variance;
    response += std::pow(known.azimuth - owner.azimuth, 2) / known.variance;
    const PointingJump told = predict_jump(known, 0.7);
    const PointingReading next = owner.reading(0.7, 0.0);
    jump += std::pow((told.altitude - next.altitude) / told.sigma, 2);
    jump += std::pow((told.azimuth - next.azimuth) / told.sigma, 2);
  }
  // The mean of 8000 squares of z scatters by sqrt(2 / 8000) = 0.016.
  EXPECT_NEAR(response / (2 * kOwners), 1.0, 0.06);
  EXPECT_NEAR(jump / (2 * kOwners), 1.0, 0.06);
}

// Against the normal equations of weighted least squares, the prior as one more reading [BatesWatts1988].
TEST(PointingOffset, IsWeightedLeastSquaresBatesWatts1988) {
  Owner owner(7);
  const auto readings = three(owner);
  double weights = std::pow(kPriorArcsecPerNm, -2), sum = 0.0;
  for (const PointingReading& r : readings) {
    const double w = 1.0 / (std::pow(r.sigma.arcsec(), 2) + std::pow(kHandling.arcsec(), 2));
    weights += w * r.moment_nm * r.moment_nm;
    sum += w * r.moment_nm * r.altitude.arcsec();
  }
  const PointingResponse known = with_readings({}, readings);
  EXPECT_NEAR(known.altitude, sum / weights, 1e-9 * std::abs(sum / weights));
  EXPECT_NEAR(known.variance, 1.0 / weights, 1e-9 / weights);
}

TEST(PointingOffset, ReadingsMayComeInAnyOrderAndOnAnyNight) {
  Owner owner(3);
  const auto r = three(owner);
  const PointingResponse at_once = with_readings({}, r);
  const PointingResponse later = with_readings(with_reading({}, r[2]), std::array{r[1], r[0]});
  EXPECT_NEAR(at_once.altitude, later.altitude, 1e-9);
  EXPECT_NEAR(at_once.azimuth, later.azimuth, 1e-9);
  EXPECT_NEAR(at_once.variance, later.variance, 1e-6);
}

TEST(PointingOffset, WithoutReadingsItIsUnknownByAboutAField) {
  EXPECT_FALSE(is_learned({}));
  const PointingJump jump = predict_jump({}, 1.0);
  EXPECT_EQ(jump.altitude.arcsec(), 0.0);
  EXPECT_NEAR(jump.sigma.arcsec(), 300.0, 1.0);
  EXPECT_NEAR(predict_jump({}, 0.0).sigma.arcsec(), kHandling.arcsec(), 1e-9);
}

TEST(PointingOffset, OneGoodReadingTeachesAndOneWithoutMomentDoesNot) {
  EXPECT_TRUE(is_learned(with_reading({}, {0.5, Angle::arcsec(60.0), {}, Angle::arcsec(5.0)})));
  const PointingResponse same = with_reading({}, {0.0, Angle::arcsec(60.0), {}, Angle::arcsec(5.0)});
  EXPECT_EQ(same.altitude, 0.0);
  EXPECT_FALSE(is_learned(same));
  const PointingResponse bad = with_reading({}, {0.5, Angle::arcsec(NAN), {}, Angle::arcsec(5.0)});
  EXPECT_EQ(bad.altitude, 0.0);
}

}  // namespace
}  // namespace halfarc
