#include "halfarc/app/clip_geometry.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/app/body_of_date.h"
#include "halfarc/app/check_clip.h"
#include "halfarc/app/geometry_words.h"
#include "halfarc/app/home.h"
#include "halfarc/app/simulate_recording.h"
#include "halfarc/app/when.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

struct Clip {
  RecordingIndex index;
  std::vector<double> times;
  std::optional<Motion> motion;
  std::optional<ColourShift> colours;
};

Clip moving(PixelOffset per_second) {
  Clip c;
  for (int i = 0; i < 300; ++i) {
    FrameIndex f;
    f.found = true;
    f.centroid = {50.0 + 0.02 * i * per_second.x + 0.3 * std::sin(1.7 * i),
                  50.0 + 0.02 * i * per_second.y + 0.3 * std::cos(2.3 * i)};
    c.index.frames.push_back(f);
    c.times.push_back(0.02 * i);
  }
  c.motion = motion_of(c.index, c.times);
  return c;
}

GeometryAsked jupiter() {
  GeometryAsked asked;
  asked.target = sky::Body::jupiter;
  asked.site = example_site().site;
  asked.at = parse_when("2026-11-25T05:00:00Z", Utc()).value();
  return asked;
}

GeometryFrom from(const Clip& c) {
  return {.index = c.index,
          .times = c.times,
          .mid = std::nullopt,
          .mean = nullptr,
          .guess = {},
          .free_fit = nullptr,
          .scale = PlateScale::arcsec_per_px(0.2),
          .optics = std::nullopt,
          .motion = c.motion,
          .colours = c.colours};
}

// A stopped mount: the sky's 15.041 arcseconds a second times the cosine of the declination, towards the west.
TEST(ClipGeometry, AStoppedMountGivesScaleAndAngle) {
  const Clip c = moving({0.0, 70.0});
  GeometryAsked asked = jupiter();
  asked.mount_stopped = true;
  const ClipGeometry g = read_geometry(asked, from(c));
  ASSERT_TRUE(g.scale && g.camera && g.view && g.north);
  EXPECT_NEAR(g.scale->arcsec_per_px.value, 15.041 * cos(g.view->declination) / 70.0, 1e-3);
  // The west lies a quarter turn clockwise of north on an image that is not mirrored; here it is down.
  EXPECT_NEAR(wrap_signed(*g.north - Angle::deg(90.0)).deg(), 0.0, 0.5);
  EXPECT_EQ(g.cause, DriftCause::not_tracking);
}

// Without a disc a key still gives the angle; the colours then split along the zenith.
TEST(ClipGeometry, AKeyTellsWhereTheColoursLie) {
  Clip c = moving({0.0, 0.0});
  for (std::size_t i = 150; i < c.index.frames.size(); ++i) c.index.frames[i].centroid.x += 40.0;
  c.motion = motion_of(c.index, c.times);
  c.colours = ColourShift{{1.0, 0.5}, {-1.5, 0.5}, {0.05, 0.05}, {0.05, 0.05}};
  GeometryAsked asked;
  asked.key = Key::up;  // the object went to the right, so the zenith lies to the left
  const ClipGeometry g = read_geometry(asked, from(c));
  ASSERT_TRUE(g.camera && g.colours);
  EXPECT_NEAR(g.camera->zenith.value.deg(), 270.0, 1.0);
  EXPECT_NEAR(g.colours->along.value, 0.5, 0.01);
  EXPECT_NEAR(g.colours->across.value, 0.0, 0.02);
  EXPECT_NE(geometry_json(g).find("along_zenith_arcsec"), std::string::npos);
  EXPECT_FALSE(geometry_lines(g).empty());
}

TEST(ClipGeometry, NothingAskedNothingSaid) {
  const Clip c = moving({0.0, 0.0});
  const ClipGeometry g = read_geometry({}, from(c));
  EXPECT_FALSE(g.camera || g.scale || g.colours || g.view);
  EXPECT_EQ(geometry_json(g), "{}");
}

// Dispersion parts the colours of a disc and draws each of them out along the same line, which softens the limb across
// it; and belts leave further directions of the pole, some 19 degrees off, in which a fit may come to rest.
TEST(ClipGeometry, ADispersedDiscTellsItsPole) {
  const Angle zenith = Angle::deg(108.0);
  WhereRequest request;
  request.site = example_site().site;
  request.utc = parse_when("2026-11-26T00:00:00Z", Utc()).value();
  const Whereabouts now = where_body(request).value();
  double z2 = 0.0;
  constexpr int kSeeds = 3;
  for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
    ShotSpec shot;
    shot.seed = seed;
    shot.body = body_of_date(now, zenith, seed).value();
    shot.body.moons.clear();
    shot.width = shot.height = 320;
    shot.scale = PlateScale::arcsec_per_px(0.1753);
    shot.dispersion = {
        SkyOffset{Angle::arcsec(-0.54), Angle::arcsec(-0.14)}, {}, {Angle::arcsec(0.70), Angle::arcsec(0.17)}};
    for (SkyOffset& smear : shot.instrument.smear) smear = {Angle::arcsec(0.42), Angle::arcsec(0.1)};
    shot.timing.start = request.utc;
    shot.timing.frames = 60;
    shot.air.turbulence.r0 = Length::cm(9.0);
    const ScratchFolder folder;
    Silent progress;
    ASSERT_TRUE(simulate_to_files(shot, folder / "clip.fits", {}, progress));
    CheckOptions options;
    options.scale = shot.scale;
    options.optics = ClipOptics{shot.instrument.pupil, shot.instrument.wavelengths[1], shot.scale, 0.337};
    options.geometry.target = sky::Body::jupiter;
    options.geometry.site = request.site;
    const ClipCheck check = check_clip(folder / "clip.fits", options, progress).value();
    ASSERT_TRUE(check.geometry.camera);
    const Measured<Angle>& told = check.geometry.camera->zenith;
    EXPECT_LT(told.sigma.deg(), 4.0);
    // A pole may be taken for the other.
    z2 += std::pow(std::remainder((told.value - zenith).deg(), 180.0) / told.sigma.deg(), 2) / kSeeds;
  }
  EXPECT_LT(z2, 5.0);
}

}  // namespace
}  // namespace halfarc
