#include "halfarc/app/target_view.h"

#include <gtest/gtest.h>

#include "halfarc/app/home.h"
#include "halfarc/app/when.h"
#include "halfarc/app/where_body.h"

namespace halfarc {
namespace {

// The same numbers as `halfarc where` gives, whose own tests hold them against published ones.
TEST(TargetView, AgreesWithWhere) {
  WhereRequest request;
  request.body = sky::Body::saturn;
  request.site = example_site().site;
  request.utc = parse_when("2026-11-25T21:00:00Z", Utc()).value();
  const Whereabouts where = where_body(request).value();
  const TargetView view = target_view(request.body, request.site, request.utc);
  EXPECT_NEAR(view.equatorial_diameter.arcsec(), where.disc.equatorial_diameter.arcsec(), 1e-9);
  EXPECT_NEAR(view.shape.polar_ratio, where.disc.polar_diameter / where.disc.equatorial_diameter, 1e-9);
  EXPECT_NEAR(view.parallactic.deg(), where.parallactic.deg(), 1e-6);
  EXPECT_NEAR(view.altitude.deg(), where.refracted_altitude.deg(), 1e-6);
  ASSERT_TRUE(view.shape.ring && where.ring);
  EXPECT_NEAR(view.shape.ring->tilt.deg(), where.ring->tilt.deg(), 1e-9);
  EXPECT_NEAR(view.sky_rate, 15.041 * cos(view.declination), 1e-3);  // arcseconds a second (IERS: 86164.0905 s a turn)
}

}  // namespace
}  // namespace halfarc
