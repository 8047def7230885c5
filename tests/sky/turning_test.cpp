#include "halfarc/sky/turning.h"

#include <gtest/gtest.h>

#include "halfarc/sky/disc.h"
#include "halfarc/sky/field.h"

namespace halfarc::sky {
namespace {

const Site kHarbour{Angle::deg(57.1), Angle::deg(-2.1), Length::m(12.0)};

TEST(RotationModel, FollowsTheEphemerisThroughTheSpan) {
  for (const Body body : {Body::mars, Body::jupiter, Body::saturn, Body::venus}) {
    const Utc reference = *Utc::parse("2026-12-01T04:00:00Z");
    const LongitudeSystem system = systems_of(body).back();
    const RotationModel m = rotation_model(body, system, kHarbour, reference);
    for (const double minutes : {-30.0, -17.0, 3.0, 22.0, 30.0}) {
      const Utc at = reference + Duration::minutes(minutes);
      const Observer o = observe_from(kHarbour, at);
      const Place p = place_of(body, o);
      const Disc d = disc_of(body, p, o);
      const Duration since = m.since_reference(at);
      const Angle east = counts_longitude_eastward(body) ? *d.sub_observer.in(system) : -*d.sub_observer.in(system);
      EXPECT_NEAR(wrap_signed(m.central_east_longitude.after(since) - east).deg(), 0.0, 0.002) << name_of(body);
      EXPECT_NEAR(m.sub_observer_latitude.after(since).deg(), d.sub_observer.planetocentric_latitude.deg(), 0.001);
      EXPECT_NEAR(wrap_signed(m.pole_from_north.after(since) - d.pole_angle).deg(), 0.0, 0.002);
      const Angle q = parallactic_angle(p.hour_angle, p.apparent.dec, kHarbour.latitude);
      EXPECT_NEAR(wrap_signed(m.pole_from_zenith.after(since) - (q - d.pole_angle)).deg(), 0.0, 0.01);
      EXPECT_NEAR(m.equatorial_diameter.after(since).arcsec(), d.equatorial_diameter.arcsec(), 1e-4);
    }
  }
}

TEST(RotationModel, RatesAreThoseOfTheGlobeAndTheField) {
  const Utc reference = *Utc::parse("2026-12-01T04:00:00Z");
  const RotationModel m = rotation_model(Body::jupiter, LongitudeSystem::two, kHarbour, reference);
  EXPECT_NEAR(m.central_east_longitude.rate.deg_per_day(), -870.27, 0.3);
  const Place p = place_of(Body::jupiter, observe_from(kHarbour, reference));
  const double field = alt_az_motion(p.horizontal, kHarbour.latitude).field_rotation.deg_per_hour();
  EXPECT_NEAR(m.pole_from_zenith.rate.deg_per_hour(), field, 0.05 + 0.003 * std::abs(field));
}

TEST(RotationModel, TakesTheBodysOwnSystemWhenAskedForOneItHasNot) {
  const Utc reference = *Utc::parse("2026-12-01T04:00:00Z");
  const RotationModel m = rotation_model(Body::mars, LongitudeSystem::three, kHarbour, reference);
  EXPECT_NEAR(m.central_east_longitude.rate.deg_per_day(), -350.89, 0.6);
}

}  // namespace
}  // namespace halfarc::sky
