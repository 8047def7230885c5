#include "halfarc/app/make_image.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <fstream>

#include "halfarc/app/compare_truth.h"
#include "halfarc/app/make_document.h"
#include "halfarc/app/simulate_recording.h"
#include "halfarc/restore/colour_align.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

ShotSpec small_shot(std::uint64_t seed) {
  ShotSpec shot;
  shot.seed = seed;
  shot.width = 112;
  shot.height = 104;
  shot.body.kind = BodyKind::ruddy_disc;
  shot.body.equatorial_diameter = Angle::arcsec(11.0);
  shot.body.flattening = 0.006;
  shot.brightness.electrons = {900.0, 700.0, 420.0};
  shot.dispersion = {SkyOffset{Angle::arcsec(0.0), Angle::arcsec(0.15)}, SkyOffset{},
                     SkyOffset{Angle::arcsec(0.02), Angle::arcsec(-0.18)}};
  shot.timing.frames = 240;
  shot.timing.start = Utc::civil(2026, 12, 4, 21, 12, 0.0).value();
  return shot;
}

ShotTruth record(const ShotSpec& shot, const fs::path& path) {
  Silent silent;
  Result<SimulatedFiles> files = simulate_to_files(shot, path, {}, silent);
  EXPECT_TRUE(files);
  return std::move(files->truth);
}

MakeOptions options_for(const ShotSpec& shot, std::vector<fs::path> runs, fs::path output) {
  MakeOptions make;
  make.runs = std::move(runs);
  make.output = std::move(output);
  make.aperture = {shot.instrument.pupil, shot.scale};
  make.scale_source = ScaleSource::given;
  return make;
}

// The whole job on light that went through simulated air, against the truth.
TEST(MakeImage, RestoresTrueDetailAndAlignsTheColours) {
  const ScratchFolder folder;
  const ShotSpec shot = small_shot(3);
  const ShotTruth truth = record(shot, folder.path() / "run.fits");
  Silent silent;
  const Result<FinishedImage> image =
      make_image(options_for(shot, {folder.path() / "run.fits"}, folder.path() / "image.fits"), silent);
  ASSERT_TRUE(image) << image.error().line();
  std::array<PlaneComparison, 3> planes;
  const Window& w = image->window;
  for (std::size_t c = 0; c < 3; ++c) {
    const auto part = [&](const Plane<float>& p) { return p.view().part(w.x, w.y, w.width, w.height); };
    planes[c] = compare_plane(image->picture.restored[c], part(truth.perfect[c]), part(truth.scene[c]), shot.scale,
                              Angle::arcsec(0.55));
    const PlaneComparison mean = compare_plane(image->picture.mean[c], part(truth.perfect[c]), part(truth.scene[c]),
                                               shot.scale, Angle::arcsec(0.55));
    EXPECT_GT(planes[c].detail_correlation, mean.detail_correlation) << c;
  }
  EXPECT_GT(planes[1].detail_correlation, 0.97);
  EXPECT_LT(planes[1].half_correlation_period.arcsec(), 1.0);
  for (const std::size_t c : {std::size_t{0}, std::size_t{2}}) {
    EXPECT_LT(shot.scale.angle((planes[c].shift - planes[1].shift).length()).arcsec(), 0.05) << c;
  }
  EXPECT_GT(image->made.blur.d_over_r0.value, 1.0);
  EXPECT_LT(image->made.blur.d_over_r0.value, 5.0);  // put in: 2.5 at 500 nm
}

TEST(MakeImage, WritesAllFilesAndSaysWhatItDid) {
  const ScratchFolder folder;
  const ShotSpec shot = small_shot(4);
  record(shot, folder.path() / "run.fits");
  Silent silent;
  const Result<FinishedImage> image =
      make_image(options_for(shot, {folder.path() / "run.fits"}, folder.path() / "image.fits"), silent);
  ASSERT_TRUE(image) << image.error().line();
  for (const char* name : {"image.fits", "image.tif", "image.png"}) {
    EXPECT_TRUE(fs::exists(folder.path() / name)) << name;
    EXPECT_GT(fs::file_size(folder.path() / name), 1000U) << name;
  }
  // The run, its truth and its shot, and the three images: nothing temporary is left.
  EXPECT_EQ(std::distance(fs::directory_iterator(folder.path()), fs::directory_iterator()), 6);

  const nlohmann::json doc = nlohmann::json::parse(make_json(image->made));
  EXPECT_EQ(doc["schema"], "halfarc.image/1");
  EXPECT_EQ(doc["frames_read"], 240);
  EXPECT_EQ(doc["planes"].size(), 3U);
  EXPECT_EQ(doc["reference_utc"].get<std::string>().substr(0, 16), "2026-12-04T21:12");
  EXPECT_GT(doc["resolution"]["sigma"].get<double>(), 0.0);
  EXPECT_NE(make_words(image->made).find("resolved "), std::string::npos);
}

TEST(MakeImage, SeveralRunsBecomeOneImage) {
  const ScratchFolder folder;
  const ShotSpec first = small_shot(5);
  ShotSpec second = small_shot(6);
  second.body.centre = {Angle::arcsec(0.9), Angle::arcsec(-0.5)};
  record(first, folder.path() / "a.fits");
  record(second, folder.path() / "b.fits");
  Silent silent;
  const Result<FinishedImage> image = make_image(
      options_for(first, {folder.path() / "a.fits", folder.path() / "b.fits"}, folder.path() / "image.fits"), silent);
  ASSERT_TRUE(image) << image.error().line();
  EXPECT_EQ(image->made.frames_read, 480U);
  ASSERT_FALSE(image->made.warnings.empty());
  EXPECT_NE(image->made.warnings.back().find("spin"), std::string::npos);
}

TEST(MakeImage, FiftyFramesAreSaidToBeTooFew) {
  const ScratchFolder folder;
  ShotSpec shot = small_shot(8);
  Silent silent;
  for (const std::size_t frames : {std::size_t{50}, std::size_t{240}}) {
    shot.timing.frames = frames;
    record(shot, folder / "run.fits");
    const Result<FinishedImage> image =
        make_image(options_for(shot, {folder / "run.fits"}, folder / "image.fits"), silent);
    ASSERT_TRUE(image) << image.error().line();
    const bool few = frames == 50;
    const std::string words = make_words(image->made);
    EXPECT_EQ(words.substr(0, words.find('\n')).find("too few") != std::string::npos, few) << words;
    EXPECT_EQ(words.find("the data are too few: ") != std::string::npos, few) << words;
    EXPECT_EQ(nlohmann::json::parse(make_json(image->made))["enough_frames"], !few);
  }
}

// Rms difference of a picture from the truth it is laid on, within `radius` of the middle, after the truth was scaled
// and lifted to fit there.
double structure(const Plane<float>& picture, View<const float> truth, double radius) {
  double n = 0.0, sp = 0.0, st = 0.0, spp = 0.0, stt = 0.0, spt = 0.0;
  const PixelPoint middle{centre_of(picture.width()), centre_of(picture.height())};
  for (int y = 0; y < picture.height(); ++y) {
    for (int x = 0; x < picture.width(); ++x) {
      if ((PixelPoint{static_cast<double>(x), static_cast<double>(y)} - middle).length() > radius) continue;
      const auto p = static_cast<double>(picture(x, y));
      const auto t = static_cast<double>(truth(x, y));
      n += 1.0;
      sp += p;
      st += t;
      spp += p * p;
      stt += t * t;
      spt += p * t;
    }
  }
  const double vp = spp - sp * sp / n, vt = stt - st * st / n, cov = spt - sp * st / n;
  return std::sqrt(std::max(0.0, vp - cov * cov / vt) / n);
}

// Pure noise in, nothing out: within 0.8 of its radius the picture differs from the disc's own shading by no more
// than the noise that is stated, in every plane.
TEST(MakeImage, ABlankDiscStaysBlank) {
  const ScratchFolder folder;
  for (const std::uint64_t seed : {11U, 12U}) {
    ShotSpec shot = small_shot(seed);
    shot.body.kind = BodyKind::blank_disc;
    const ShotTruth truth = record(shot, folder / "run.fits");
    Silent silent;
    const Result<FinishedImage> image =
        make_image(options_for(shot, {folder / "run.fits"}, folder / "image.fits"), silent);
    ASSERT_TRUE(image) << image.error().line();
    const Window& w = image->window;
    const double radius = 0.5 * shot.scale.pixels(shot.body.equatorial_diameter);
    for (std::size_t c = 0; c < 3; ++c) {
      const auto part = [&](const Plane<float>& p) { return p.view().part(w.x, w.y, w.width, w.height); };
      const Plane<float>& made = image->picture.restored[c];
      const PlaneComparison found =
          compare_plane(made, part(truth.perfect[c]), part(truth.scene[c]), shot.scale, Angle::arcsec(0.55));
      const Plane<float> laid = moved_by(made, -found.shift);
      EXPECT_LT(structure(laid, part(truth.perfect[c]), 0.8 * radius), 1.15 * image->picture.noise[c]) << c;
    }
  }
}

TEST(MakeImage, SaysBeforeTheWorkThatItCannotWrite) {
  const ScratchFolder folder;
  const ShotSpec shot = small_shot(4);
  Silent silent;
  const Result<FinishedImage> image =
      make_image(options_for(shot, {folder.path() / "no such run"}, folder.path() / "nowhere" / "image.fits"), silent);
  ASSERT_FALSE(image);
  EXPECT_NE(image.error().line().find("nowhere"), std::string::npos);
}

TEST(MakeImage, TheImageIsCalledFits) {
  const ScratchFolder folder;
  Silent silent;
  for (const char* name : {"image.png", "image.tif", "image"}) {
    const Result<FinishedImage> image =
        make_image(options_for(small_shot(4), {folder / "run.fits"}, folder / name), silent);
    ASSERT_FALSE(image);
    EXPECT_EQ(image.error().kind, ErrorKind::usage);
    EXPECT_EQ(image.error().line(), (folder / name).string() + ": the image is a FITS file; end its name in .fits");
  }
}

TEST(MakeImage, AnEmptySkyIsRefusedInOneLine) {
  const ScratchFolder folder;
  ShotSpec shot = small_shot(7);
  shot.brightness.electrons = {0.0, 0.0, 0.0};
  shot.timing.frames = 40;
  record(shot, folder.path() / "dark.fits");
  Silent silent;
  const Result<FinishedImage> image =
      make_image(options_for(shot, {folder.path() / "dark.fits"}, folder.path() / "image.fits"), silent);
  ASSERT_FALSE(image);
  EXPECT_EQ(image.error().kind, ErrorKind::bad_input);
  EXPECT_NE(image.error().line().find("dark.fits"), std::string::npos);
}

}  // namespace
}  // namespace halfarc
