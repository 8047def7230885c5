#include "halfarc/app/derotate_runs.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>

#include "halfarc/app/compare_truth.h"
#include "halfarc/app/make_document.h"
#include "halfarc/app/make_image.h"
#include "halfarc/app/simulate_recording.h"
#include "halfarc/sky/turning.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

// Jupiter on a January night in 2026 over the town of the examples, as the ephemeris has it turn.
struct Night {
  DerotateRequest request;
  Utc middle = Utc::civil(2026, 1, 15, 22, 30, 0.0).value();
  RotationModel model;
};

Night jupiter_night() {
  Night night;
  night.request.north = Angle::deg(17.0);  // the camera of Runs
  night.request.body = sky::Body::jupiter;
  night.request.site = {Angle::deg(57.1), Angle::deg(-2.1), Length::m(12.0)};
  night.model = sky::rotation_model(sky::Body::jupiter, sky::LongitudeSystem::two, night.request.site, night.middle);
  return night;
}

struct Runs {
  int count = 6;
  Duration every = Duration::minutes(2.96);  // from start to start: 15 min in all
  Duration length = Duration::s(12.0);
  std::size_t frames = 40;
  double arcsec_per_px = 0.36;
  double aperture_mm = 100.0;
  double camera_deg = 17.0;  // north at the middle of the night, clockwise from up
  bool standing = false;     // nothing turns: what one instant would give
};

// One run as the sky would have it: the globe's attitude at its start, its spin and the field's turning.
ShotSpec shot_of(const Night& night, const Runs& runs, int number) {
  ShotSpec shot;
  shot.seed = 40 + static_cast<std::uint64_t>(number);
  shot.scale = PlateScale::arcsec_per_px(runs.arcsec_per_px);
  shot.instrument.pupil.diameter = Length::mm(runs.aperture_mm);
  const Utc start = night.middle + runs.every * (number - 0.5 * (runs.count - 1)) - 0.5 * runs.length;
  const Utc shown = runs.standing ? night.middle : start;
  const Duration since = night.model.since_reference(shown);
  const RotationModel& m = night.model;
  shot.body.kind = BodyKind::banded_giant;
  shot.body.equatorial_diameter = m.equatorial_diameter.at_reference;
  shot.body.flattening = 1.0 - m.polar_over_equatorial;
  shot.body.sub_observer_latitude = m.sub_observer_latitude.at_reference;
  shot.body.central_meridian = m.central_east_longitude.after(since);
  shot.body.pole_angle =
      Angle::deg(runs.camera_deg) + m.pole_from_zenith.after(since) - m.pole_from_zenith.at_reference;
  if (!runs.standing) {
    shot.body.spin = AngularRate::rad_per_s(-m.central_east_longitude.rate.rad_per_s());
    shot.pointing.field_rotation = m.pole_from_zenith.rate;
  }
  const int size = 2 * static_cast<int>(0.75 * shot.scale.pixels(shot.body.equatorial_diameter));
  shot.width = shot.height = size;
  shot.brightness.electrons = {900.0, 900.0, 700.0};
  shot.timing.start = start;
  shot.timing.frames = runs.frames;
  shot.timing.interval = runs.length / static_cast<double>(runs.frames);
  shot.timing.exposure = Duration::ms(6.0);
  shot.air.turbulence.r0 = Length::cm(9.0);
  return shot;
}

std::vector<fs::path> record(const Night& night, const Runs& runs, const fs::path& folder) {
  std::vector<fs::path> paths;
  Silent silent;
  for (int n = 0; n < runs.count; ++n) {
    paths.push_back(folder / ((runs.standing ? "still-" : "run-") + std::to_string(n) + ".fits"));
    EXPECT_TRUE(simulate_to_files(shot_of(night, runs, n), paths.back(), {}, silent));
  }
  return paths;
}

// The truth at the middle of the night.
ShotTruth truth_of(const Night& night, Runs runs, const fs::path& folder) {
  runs.standing = true;
  runs.frames = 1;
  Silent silent;
  Result<SimulatedFiles> files = simulate_to_files(shot_of(night, runs, 0), folder / "truth.fits", {}, silent);
  EXPECT_TRUE(files);
  return std::move(files->truth);
}

struct Outcome {
  MadeImage made;
  PlaneComparison green;
};

Result<Outcome> outcome(const Runs& runs, std::vector<fs::path> paths, const fs::path& output, const ShotTruth& truth,
                        const std::optional<DerotateRequest>& derotate) {
  MakeOptions make;
  make.runs = std::move(paths);
  make.output = output;
  make.aperture = {{Length::mm(runs.aperture_mm), 0.34}, PlateScale::arcsec_per_px(runs.arcsec_per_px)};
  make.scale_source = ScaleSource::given;
  make.derotate = derotate;
  if (make.derotate) make.derotate->aperture = make.aperture;
  Silent silent;
  HALFARC_TRY(const FinishedImage image, make_image(make, silent));
  const Window& w = image.window;
  const auto part = [&](const Plane<float>& p) { return p.view().part(w.x, w.y, w.width, w.height); };
  const Angle finest = cut_off(make.aperture.pupil, Length::nm(535.0)).period();
  return Outcome{image.made, compare_plane(image.picture.restored[1], part(truth.perfect[1]), part(truth.scene[1]),
                                           make.aperture.scale, finest)};
}

// Six runs over a quarter of an hour against the same frames of a Jupiter that stands still. Truth: the simulator's.
void compare_with_one_instant(const Runs& runs, double most_loss) {
  const ScratchFolder folder;
  const Night night = jupiter_night();
  const ShotTruth truth = truth_of(night, runs, folder.path());
  Runs standing = runs;
  standing.standing = true;
  const auto still = outcome(runs, record(night, standing, folder.path()), folder / "still-image.fits", truth, {});
  ASSERT_TRUE(still) << still.error().line();
  const std::vector<fs::path> paths = record(night, runs, folder.path());
  const auto turned = outcome(runs, paths, folder / "turned.fits", truth, night.request);
  ASSERT_TRUE(turned) << turned.error().line();
  const auto plain = outcome(runs, paths, folder / "plain.fits", truth, {});
  ASSERT_TRUE(plain) << plain.error().line();

  ASSERT_TRUE(turned->made.derotated);
  EXPECT_EQ(turned->made.derotated->north_source, NorthSource::given);
  EXPECT_NEAR(wrap_signed(turned->made.derotated->north - Angle::deg(runs.camera_deg)).deg(), 0.0, 1.5);
  EXPECT_NEAR((turned->made.derotated->at - night.middle).s(), 0.0, 2.0);
  const double loss = turned->green.half_correlation_period / still->green.half_correlation_period - 1.0;
  EXPECT_LE(loss, most_loss);
  EXPECT_GT(turned->green.detail_correlation, still->green.detail_correlation - 0.02);
  EXPECT_GT(turned->green.detail_correlation, plain->green.detail_correlation + 0.05);
  std::printf(
      "one instant %.3f\" %.4f, turned %.3f\" %.4f, as they are %.3f\" %.4f; claimed %.3f\" and %.3f\"; north %.2f\n",
      still->green.half_correlation_period.arcsec(), still->green.detail_correlation,
      turned->green.half_correlation_period.arcsec(), turned->green.detail_correlation,
      plain->green.half_correlation_period.arcsec(), plain->green.detail_correlation,
      still->made.resolved[1].value.arcsec(), turned->made.resolved[1].value.arcsec(),
      turned->made.derotated->north.deg());
}

// Too slow for every day: the simulator draws a turning globe many times.
TEST(DerotateRuns, DISABLED_SixRunsOfJupiterAreAsSharpAsOneInstant) { compare_with_one_instant({}, 0.06); }

// The bar of the project: at most 3 % of resolution lost. Minutes; run it with --gtest_also_run_disabled_tests.
TEST(DerotateRuns, DISABLED_SixRunsOfJupiterLoseAtMostThreePerCent) {
  Runs runs;
  runs.every = Duration::minutes(2.6);
  runs.length = Duration::minutes(2.0);
  runs.frames = 300;
  runs.arcsec_per_px = 0.1753;
  runs.aperture_mm = 203.0;
  compare_with_one_instant(runs, 0.03);
}

}  // namespace
}  // namespace halfarc
