#include "halfarc/measure/focus_series.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "halfarc/base/random.h"
#include "halfarc/measure/defocus_contrast.h"

namespace halfarc {
namespace {

constexpr double kObstruction = 0.34;

// What a clip shows of a target whose detail falls off with the square of frequency, through defocus and air.
FocusClip clip_at(double position, double waves, double air, Rng& rng, Approach approach = Approach::unsaid) {
  FocusClip clip;
  clip.position = position;
  clip.approach = approach;
  clip.spectrum.frames = 50;
  for (std::size_t b = 0; b < kFocusRings; ++b) {
    const double share = ring_share(b);
    const double amplitude = 1e-3 / (share * share) * std::abs(defocus_contrast(kObstruction, share, waves)) *
                             std::exp(-3.44 * air * std::pow(share, 5.0 / 3.0) * (1.0 - 0.9 * std::cbrt(share)));
    const double noise = 2e-5;
    const double seen = amplitude + noise * rng.normal();
    clip.spectrum.amplitude[b] = std::log(std::max(seen, 1e-9));
    clip.spectrum.sigma[b] = seen > 3.0 * noise ? noise / seen : std::numeric_limits<double>::infinity();
  }
  return clip;
}

std::vector<FocusClip> series(double best, double waves_per_turn, double first, double step, int clips, double unrest,
                              std::uint64_t seed) {
  Rng rng(seed);
  std::vector<FocusClip> out;
  for (int i = 0; i < clips; ++i) {
    const double x = first + step * i;
    out.push_back(clip_at(x, waves_per_turn * (x - best), 7.0 + unrest * rng.normal(), rng));
  }
  return out;
}

TEST(FocusSeries, FindsFocusThroughChangingAir) {
  for (std::uint64_t seed = 1; seed <= 5; ++seed) {
    const auto s = fit_focus(series(0.07, 2.0, -0.5, 0.125, 9, 1.5, seed), {kObstruction, std::nullopt});
    ASSERT_TRUE(s);
    EXPECT_NEAR(s->best.value, 0.07, 0.02);
    EXPECT_NEAR(s->waves_per_turn.value, 2.0, 0.2);
    EXPECT_TRUE(s->trustworthy()) << s->doubts.front();
    EXPECT_NEAR(s->points[4].contrast.value, 1.0, 0.1);
    EXPECT_LT(s->points[0].contrast.value, 0.7);
    EXPECT_FALSE(s->backlash);
  }
}

TEST(FocusSeries, LearnsBacklashFromBothArrivals) {
  Rng rng(3);
  std::vector<FocusClip> clips;
  for (int i = -3; i <= 3; ++i) {
    const double x = 0.2 * i;
    clips.push_back(clip_at(x, 2.0 * (x - 0.05), 7.0, rng, Approach::counter_clockwise));
    clips.push_back(clip_at(x, 2.0 * (x - 0.05 - 0.15), 7.5, rng, Approach::clockwise));
  }
  const auto s = fit_focus(clips, {kObstruction, std::nullopt});
  ASSERT_TRUE(s && s->backlash);
  EXPECT_NEAR(s->best.value, 0.05, 0.02);
  EXPECT_NEAR(s->backlash->value, 0.15, 0.03);
  EXPECT_GT(s->backlash->sigma, 0.0);
}

// Doubts say what is amiss and what to add.
TEST(FocusSeries, SaysWhenNotToTrustIt) {
  const auto doubt = [](const std::vector<FocusClip>& clips, const std::string& part) {
    const auto s = fit_focus(clips, {kObstruction, 2.0});
    if (!s) return false;
    for (const std::string& d : s->doubts) {
      if (d.find(part) != std::string::npos) return true;
    }
    return false;
  };
  EXPECT_TRUE(doubt(series(-0.6, 2.0, -0.5, 0.125, 9, 0.3, 1), "one side"));
  EXPECT_TRUE(doubt(series(0.0, 2.0, -0.45, 0.3, 4, 0.3, 2), "too few positions"));
  EXPECT_TRUE(doubt(series(0.0, 2.0, -0.08, 0.02, 9, 2.0, 3), "differ too little"));
  EXPECT_TRUE(doubt(series(0.0, 2.0, -0.2, 0.05, 9, 4.0, 4), "air changed more"));
}

TEST(FocusSeries, RefusesTooLittle) {
  EXPECT_FALSE(fit_focus(series(0.0, 2.0, -0.2, 0.2, 3, 0.3, 1), {kObstruction, std::nullopt}));
  auto empty = series(0.0, 2.0, -0.5, 0.125, 9, 0.3, 1);
  for (FocusClip& clip : empty) clip.spectrum.sigma.fill(std::numeric_limits<double>::infinity());
  EXPECT_FALSE(fit_focus(empty, {kObstruction, std::nullopt}));
}

}  // namespace
}  // namespace halfarc
