// The way from a clip with moons beside the disc to scale, camera angle and mirror: spots, match and geometry together.
#include <gtest/gtest.h>

#include <cmath>

#include "../support/scratch_folder.h"
#include "halfarc/app/body_of_date.h"
#include "halfarc/app/check_clip.h"
#include "halfarc/app/home.h"
#include "halfarc/app/simulate_recording.h"
#include "halfarc/app/when.h"
#include "halfarc/measure/camera_angle.h"

namespace halfarc {
namespace {

constexpr PlateScale kScale = PlateScale::arcsec_per_px(0.25);
constexpr int kWidth = 640, kHeight = 400;

// Where a place on the sky falls on the image.
SkyOffset on_the_image(const MoonPlace& moon, const TargetView& view, Angle zenith, bool mirrored) {
  const Angle position = Angle::rad(std::atan2(moon.east.rad(), moon.north.rad()));
  const PixelOffset step = step_towards(on_image(position, zenith, view.parallactic, mirrored));
  const Angle far = Angle::rad(std::hypot(moon.east.rad(), moon.north.rad()));
  return {far * step.x, far * step.y};
}

// A moment at which at least `least` moons are in the frame with the zenith up.
Utc moment_with_moons(std::size_t least) {
  Utc at = parse_when("2026-11-25T03:00:00Z", Utc()).value();
  for (;; at = at + Duration::minutes(30.0)) {
    const TargetView view = target_view(sky::Body::jupiter, example_site().site, at);
    std::size_t inside = 0;
    for (const MoonPlace& moon : view.moons) {
      const SkyOffset o = on_the_image(moon, view, Angle::deg(20.0), false);
      if (kScale.pixels(abs(o.x)) < 0.5 * kWidth - 20.0 && kScale.pixels(abs(o.y)) < 0.5 * kHeight - 20.0) ++inside;
    }
    if (inside >= least && view.altitude > Angle::deg(30.0)) return at;
  }
}

// The picture left for right.
void mirror(BodySpec& body) {
  body.pole_angle = wrap_positive(-body.pole_angle);
  body.sun_angle = wrap_positive(-body.sun_angle);
  for (Moon& moon : body.moons) {
    moon.place.x = -moon.place.x;
    moon.per_hour.x = -moon.per_hour.x;
  }
}

Result<ClipCheck> clip_with_moons(Utc at, Angle zenith, bool mirrored, std::uint64_t seed) {
  WhereRequest request;
  request.site = example_site().site;
  request.utc = at;
  HALFARC_TRY(const Whereabouts now, where_body(request));
  ShotSpec shot;
  shot.seed = seed;
  shot.scale = kScale;
  shot.width = kWidth;
  shot.height = kHeight;
  HALFARC_TRY(shot.body, body_of_date(now, mirrored ? -zenith : zenith, seed));
  if (mirrored) mirror(shot.body);
  shot.air.turbulence.r0 = Length::cm(7.0);
  shot.timing.start = at;
  shot.timing.frames = 30;
  shot.timing.interval = Duration::ms(40.0);
  shot.timing.exposure = Duration::ms(8.0);
  shot.sensor.electrons_per_adu = 0.8;
  const ScratchFolder folder;
  Silent progress;
  HALFARC_CHECK(simulate_to_files(shot, folder / "clip.fits", {}, progress));
  CheckOptions options;
  options.scale = PlateScale::arcsec_per_px(0.257);  // of a rig that is not quite known
  options.optics = ClipOptics{shot.instrument.pupil, shot.instrument.wavelengths[1], *options.scale};
  options.geometry.target = sky::Body::jupiter;
  options.geometry.site = example_site().site;
  return check_clip(folder / "clip.fits", options, progress);
}

// The places drawn are those looked up, so that the ephemeris' share of the errors does not show here; the scatter of
// the errors is tested in moon_match_test.cpp.
TEST(ClipMoons, TellScaleAngleAndMirror) {
  const Utc at = moment_with_moons(3);
  const struct {
    bool mirrored;
    double turn_deg;
  } cases[] = {{false, 20.0}, {true, 200.0}};
  for (const auto& c : cases) {
    const auto check = clip_with_moons(at, Angle::deg(c.turn_deg), c.mirrored, 7);
    ASSERT_TRUE(check) << check.error().line();
    const ClipGeometry& g = check->geometry;
    ASSERT_TRUE(g.moons && g.scale && g.camera);
    EXPECT_GE(g.moons->moons.size(), 2U);
    EXPECT_TRUE(g.moons->mirror_known);
    EXPECT_EQ(g.moons->mirrored, c.mirrored);
    EXPECT_LT(g.moons->chi2, 16.0);  // of 4 or fewer; more in one case of 300
    EXPECT_EQ(g.scale->source, ScaleSource::moons);
    EXPECT_NEAR(g.scale->arcsec_per_px.value, kScale.arcsec_per_px(), 3.0 * g.scale->arcsec_per_px.sigma);
    EXPECT_LT(g.scale->arcsec_per_px.sigma, 0.002 * kScale.arcsec_per_px());
    EXPECT_EQ(g.camera->source, AngleSource::moons);
    EXPECT_NEAR(wrap_signed(g.camera->zenith.value - Angle::deg(c.turn_deg)).deg(), 0.0,
                3.0 * g.camera->zenith.sigma.deg());
    EXPECT_LT(g.camera->zenith.sigma.deg(), 0.15);
  }
}

}  // namespace
}  // namespace halfarc
