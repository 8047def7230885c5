#include "halfarc/restore/smear.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

constexpr std::size_t kFrames = 4, kInstants = 12, kLasting = 10;  // a burst; instants in an interval, in an exposure

// Gaussian motion of unit variance whose instants share exp(-(t / tau)^(5/3)), by the Cholesky factor of that very law.
class Motion {
 public:
  explicit Motion(double tau) : factor_(kCount * kCount) {
    const auto shared = [tau](std::size_t i, std::size_t j) {
      const double apart = std::abs(static_cast<double>(i) - static_cast<double>(j)) / kInstants;
      return std::exp(-std::pow(apart / tau, 5.0 / 3.0)) + (i == j ? 1e-9 : 0.0);
    };
    for (std::size_t i = 0; i < kCount; ++i) {
      for (std::size_t j = 0; j <= i; ++j) {
        double sum = shared(i, j);
        for (std::size_t k = 0; k < j; ++k) sum -= factor_[i * kCount + k] * factor_[j * kCount + k];
        factor_[i * kCount + j] = i == j ? std::sqrt(sum) : sum / factor_[j * kCount + j];
      }
    }
  }

  std::vector<double> burst(Rng& rng) const {
    std::vector<double> white(kCount), moved(kCount);
    for (double& w : white) w = rng.normal();
    for (std::size_t i = 0; i < kCount; ++i) {
      for (std::size_t j = 0; j <= i; ++j) moved[i] += factor_[i * kCount + j] * white[j];
    }
    return moved;
  }

 private:
  static constexpr std::size_t kCount = kFrames * kInstants;
  std::vector<double> factor_;
};

struct MovedFrames {
  std::vector<PlacedFrame> frames;
  double smear = 0.0;  // as it was
};

MovedFrames run_of(double tau, double rms, double place_error, std::uint64_t seed) {
  Rng rng(seed);
  const Motion motion(tau);
  MovedFrames run;
  double square = 0.0;
  constexpr std::size_t kBursts = 150;
  for (std::size_t b = 0; b < kBursts; ++b) {
    const std::vector<double> x = motion.burst(rng), y = motion.burst(rng);
    for (std::size_t f = 0; f < kFrames; ++f) {
      PixelOffset mean{0.0, 0.0};
      for (std::size_t i = 0; i < kLasting; ++i) {
        mean = mean + PixelOffset{x[f * kInstants + i] / kLasting, y[f * kInstants + i] / kLasting};
      }
      for (std::size_t i = 0; i < kLasting; ++i) square += std::pow(x[f * kInstants + i] - mean.x, 2) / kLasting;
      run.frames.push_back(
          {b * 40 + f, {rms * mean.x + place_error * rng.normal(), rms * mean.y + place_error * rng.normal()}});
    }
  }
  run.smear = rms * std::sqrt(square / static_cast<double>(kBursts * kFrames));
  return run;
}

TEST(Smear, ComesFromHowFarNeighboursLieApart) {
  for (const double tau : {1.5, 4.0, 10.0}) {
    for (const double place_error : {0.0, 0.08}) {
      const MovedFrames run = run_of(tau, 1.5, place_error, 7);
      EXPECT_NEAR(smear_within_exposures(run.frames, 3, 10.0 / 12.0) / run.smear, 1.0, 0.15)
          << tau << " " << place_error;
    }
  }
}

TEST(Smear, SlowMotionDrownsInTheErrorsOfThePlaces) {
  const MovedFrames run = run_of(50.0, 1.0, 0.1, 3);
  EXPECT_LT(smear_within_exposures(run.frames, 3, 10.0 / 12.0), 0.08);
}

TEST(Smear, PlacesWithoutMemoryAreNotMotion) {
  Rng rng(5);
  std::vector<PlacedFrame> frames;
  for (std::size_t f = 0; f < 480; ++f) frames.push_back({f, {rng.normal(), rng.normal()}});
  EXPECT_LT(smear_within_exposures(frames, 3, 0.8), 0.05);
}

TEST(Smear, TooFewPairsSayNothing) {
  MovedFrames run = run_of(3.0, 1.0, 0.05, 3);
  run.frames.resize(20);
  EXPECT_EQ(smear_within_exposures(run.frames, 3, 0.8), 0.0);
  EXPECT_EQ(smear_within_exposures({}, 3, 0.8), 0.0);
}

}  // namespace
}  // namespace halfarc
