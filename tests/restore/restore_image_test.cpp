#include "halfarc/restore/restore_image.h"

#include <gtest/gtest.h>

#include <cmath>

#include "disc_run.h"
#include "halfarc/restore/smooth.h"

namespace halfarc {
namespace {

using testing::DiscRun;
using testing::MadeRun;

RestoredImage restored(const DiscRun& run, const RestoreOptions& options = {}) {
  const MadeRun made = make_disc_run(run);
  std::vector<GradedFrame> graded;
  for (std::size_t f = 0; f < made.centres.size(); ++f) graded.push_back({f, made.centres[f], 1.0 / made.blurs[f]});
  Silent silent;
  const Result<Stack> stack = stack_frames(made.recording, graded, {0, 0, run.width, run.height}, {}, silent);
  EXPECT_TRUE(stack);
  return restore_image(*stack, options);
}

// Correlation of the fine part of a picture with the true scene as a sharp telescope shows it, inside the disc.
double detail_correlation(const Plane<float>& picture, const DiscRun& run, std::size_t c) {
  Plane<float> truth(run.width, run.height);
  for (int y = 0; y < run.height; ++y) {
    for (int x = 0; x < run.width; ++x) {
      truth(x, y) =
          static_cast<float>(disc_brightness(run, PixelPoint{double(x), double(y)} - PixelPoint{47.5, 47.5}, 0.9, c));
    }
  }
  const ColourOffset offset = colour_offset(spectrum_of(truth), spectrum_of(picture));
  const Plane<float> here = moved_by(picture, -offset.offset);
  const Plane<float> broad_a = gaussian_smooth(here, 8.0);
  const Plane<float> broad_b = gaussian_smooth(truth, 8.0);
  double n = 0.0, a = 0.0, b = 0.0, aa = 0.0, bb = 0.0, ab = 0.0;
  for (int y = 0; y < run.height; ++y) {
    for (int x = 0; x < run.width; ++x) {
      if (std::hypot(x - 47.5, y - 47.5) > run.radius - 6.0) continue;
      const double u = static_cast<double>(here(x, y) - broad_a(x, y));
      const double v = static_cast<double>(truth(x, y) - broad_b(x, y));
      n += 1.0;
      a += u;
      b += v;
      aa += u * u;
      bb += v * v;
      ab += u * v;
    }
  }
  return (n * ab - a * b) / std::sqrt((n * aa - a * a) * (n * bb - b * b));
}

TEST(RestoreImage, ShowsMoreTrueDetailThanTheMean) {
  const DiscRun run;
  const RestoredImage image = restored(run);
  for (std::size_t c = 0; c < 3; ++c) {
    const double mean = detail_correlation(image.mean[c], run, c);
    const double sharp = detail_correlation(image.restored[c], run, c);
    EXPECT_GT(sharp, mean) << c;
    EXPECT_GT(sharp, 0.98) << c;
  }
}

TEST(RestoreImage, PutsTheColoursOnTopOfEachOther) {
  const DiscRun run;
  const RestoredImage image = restored(run);
  for (const std::size_t c : {std::size_t{0}, std::size_t{2}}) {
    EXPECT_NEAR(image.colour_offset[c].offset.x, run.colour_shift[c].x, 0.08);
    EXPECT_NEAR(image.colour_offset[c].offset.y, run.colour_shift[c].y, 0.08);
    const ColourOffset left = colour_offset(spectrum_of(image.restored[1]), spectrum_of(image.restored[c]));
    EXPECT_LT(left.offset.length(), 0.08);
  }
}

TEST(RestoreImage, ClaimsLessWhenTheLightIsLess) {
  DiscRun run;
  run.frames = 120;
  const RestoredImage bright = restored(run);
  run.peak = 12.0;
  const RestoredImage faint = restored(run);
  EXPECT_LT(faint.resolved[1].value, bright.resolved[1].value);
  EXPECT_GT(bright.resolved[1].sigma, 0.0);
}

// The disc must not gain a bright or dark rim: along a radius the restored limb stays within the flat top and the sky.
TEST(RestoreImage, HasNoFalseLimb) {
  DiscRun run;
  run.frames = 300;
  const RestoredImage image = restored(run);
  const Plane<float>& p = image.restored[1];
  float inside = 0.0F;
  float outside = 0.0F;
  for (int k = 0; k < 360; ++k) {
    const double angle = k * 3.14159265 / 180.0;
    const auto at = [&](double r) {
      return p(static_cast<int>(std::lround(47.5 + r * std::cos(angle))),
               static_cast<int>(std::lround(47.5 + r * std::sin(angle))));
    };
    inside += at(run.radius - 4.0) / 360.0F;
    outside += at(run.radius + 5.0) / 360.0F;
  }
  const float level = static_cast<float>(0.8 * run.peak);
  EXPECT_NEAR(inside / level, 1.0F, 0.12F);
  EXPECT_NEAR(outside / level, 0.0F, 0.04F);
}

// Pure noise in, nothing out: on a blank disc the restored picture holds no more than the noise that is stated for it.
TEST(RestoreImage, ABlankDiscShowsNothingAboveItsNoise) {
  for (std::uint64_t seed = 1; seed <= 2; ++seed) {
    DiscRun run;
    run.markings = 0.0;
    run.seed = seed;
    const RestoredImage image = restored(run);
    const Plane<float> detail = fine_detail(image.restored[1], 2.5);  // the limb is too far away to be seen in it
    double sum = 0.0, n = 0.0;
    for (int y = 0; y < run.height; ++y) {
      for (int x = 0; x < run.width; ++x) {
        if (std::hypot(x - 47.5, y - 47.5) > run.radius - 8.0) continue;
        sum += std::pow(static_cast<double>(detail(x, y)), 2);
        n += 1.0;
      }
    }
    EXPECT_LT(std::sqrt(sum / n), 1.5 * image.noise[1]) << seed;
    EXPECT_LT(std::sqrt(sum / n), 0.01 * run.peak) << seed;
  }
}

TEST(RestoreImage, MonoRunsGiveOnePlane) {
  DiscRun run;
  run.mosaic = Mosaic::mono;
  run.frames = 80;
  const RestoredImage image = restored(run);
  EXPECT_TRUE(image.restored[0].empty());
  EXPECT_FALSE(image.restored[1].empty());
  EXPECT_TRUE(image.restored[2].empty());
  EXPECT_GT(detail_correlation(image.restored[1], run, 1), 0.98);
}

TEST(RestoreImage, TrustIsHighOnTheDisc) {
  const RestoredImage image = restored({});
  double trust = 0.0;
  int count = 0;
  for (int y = 0; y < 96; ++y) {
    for (int x = 0; x < 96; ++x) {
      if (std::hypot(x - 47.5, y - 47.5) > 18.0) continue;
      trust += static_cast<double>(image.trust(x, y));
      ++count;
    }
  }
  EXPECT_GT(trust / count, 0.7);
}

}  // namespace
}  // namespace halfarc
