#include "halfarc/simulate/exposure.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

namespace halfarc {
namespace {

ShotSpec small_shot() {
  ShotSpec shot;
  shot.width = 96;
  shot.height = 80;
  shot.body.equatorial_diameter = Angle::arcsec(9.0);
  shot.timing.frames = 11;
  shot.pointing = {{Angle::arcsec(0.2), Angle::arcsec(-0.1)}, Angle::arcsec(0.05)};
  shot.dispersion[0] = {Angle::arcsec(0.1), Angle::arcsec(0.2)};
  return shot;
}

struct Film {
  std::vector<std::uint16_t> samples;
  std::vector<std::size_t> order;
  std::vector<Utc> times;
};

Film film(const ShotSpec& shot, int threads, ShotTruth* truth = nullptr) {
  Film film;
  Silent silent;
  auto result = simulate_recording(shot, Threads{threads}, silent, [&](const SimulatedFrame& frame) -> Result<void> {
    for (int y = 0; y < frame.samples.height(); ++y) {
      film.samples.insert(film.samples.end(), frame.samples.row(y), frame.samples.row(y) + frame.samples.width());
    }
    film.order.push_back(frame.index);
    film.times.push_back(frame.middle);
    return {};
  });
  EXPECT_TRUE(result) << result.error().line();
  if (result && truth != nullptr) *truth = std::move(*result);
  return film;
}

TEST(SimulateRecording, SameBytesForAnyNumberOfThreads) {
  ShotTruth truth;
  const Film one = film(small_shot(), 1, &truth);
  EXPECT_EQ(one.samples.size(), std::size_t{96} * 80 * 11);
  for (const int threads : {2, 7}) {
    ShotTruth other;
    EXPECT_EQ(film(small_shot(), threads, &other).samples, one.samples) << threads;
    ASSERT_EQ(other.frames.size(), truth.frames.size());
    for (std::size_t i = 0; i < truth.frames.size(); ++i) {
      EXPECT_EQ(other.frames[i].air.tilt_px, truth.frames[i].air.tilt_px);
      EXPECT_EQ(other.frames[i].pointing_px, truth.frames[i].pointing_px);
    }
  }
}

// Everything that can go wrong, at once: also then the bytes belong to the seed alone.
ShotSpec unlucky_shot() {
  ShotSpec shot = small_shot();
  shot.timing.frames = 6;
  shot.pointing.wind.rms = {Angle::arcsec(0.3), Angle::arcsec(0.1)};
  shot.pointing.periodic.amplitude = {Angle::arcsec(1.0), Angle::arcsec(0.0)};
  shot.pointing.keys.push_back({Duration::ms(30.0), Duration::ms(40.0), {Angle::arcsec(0.5), Angle()}});
  shot.pointing.nudges.push_back({Duration::ms(20.0), {Angle(), Angle::arcsec(1.0)}});
  shot.pointing.field_rotation = AngularRate::deg_per_hour(600.0);
  shot.optics_change.per_minute = {60.0, 0.0, 10.0};
  shot.plume.rms_waves = 0.2;
  shot.dew = {0.5, 0.3, Angle::arcsec(10.0), Duration::ms(30.0), Duration::ms(50.0)};
  shot.blemishes = {500.0, 300.0, {{{40.0, 30.0}, 20.0, 0.3}}};
  shot.timing.clock = {0.2, 2.0, Duration::ms(1.0)};
  shot.air.spells = {0.2, Duration::ms(50.0)};
  shot.air.layers[0].pulses = {Duration::ms(200.0), 0.5};
  shot.body.spin = AngularRate::deg_per_hour(600.0);
  shot.air.patch = Angle::arcsec(8.0);
  return shot;
}

TEST(SimulateRecording, SameBytesForAnyNumberOfThreadsOnABadNight) {
  const Film one = film(unlucky_shot(), 1);
  for (const int threads : {2, 5}) {
    const Film many = film(unlucky_shot(), threads);
    EXPECT_EQ(many.samples, one.samples) << threads;
    EXPECT_EQ(many.times, one.times) << threads;
  }
}

// A mount that only swings: the recorded centres follow, and the truth says by how much.
TEST(SimulateRecording, WhatTheMountDoesIsInTheTruth) {
  ShotSpec shot = small_shot();
  shot.air.layers.clear();
  shot.pointing = {};
  shot.pointing.periodic = {{Angle::arcsec(2.0), Angle::arcsec(-1.0)}, Duration::ms(80.0)};
  ShotTruth truth;
  film(shot, 2, &truth);
  for (const FrameTruth& f : truth.frames) {
    const SkyOffset wanted = periodic_error_at(shot.pointing.periodic, f.middle);
    // The mean over the exposure, of 0.1 of the period, lies 1.3 % inside.
    EXPECT_NEAR(f.pointing_px.x, shot.scale.pixels(wanted.x), 0.02 * shot.scale.pixels(Angle::arcsec(2.0)));
    // Within the exposure it moves about its mean, which is no shift.
    EXPECT_NEAR(f.air.centroid_px.x, 0.0, 0.02);
    EXPECT_NEAR(f.air.centroid_px.y, 0.0, 0.02);
  }
}

// Motion within an exposure smears: the sum of squared slopes of the picture falls.
TEST(SimulateRecording, AFastSwingSmears) {
  ShotSpec shot = small_shot();
  shot.air.layers.clear();
  shot.pointing = {};
  shot.timing.frames = 1;
  shot.timing.parts = 6;
  const auto sharpness = [](const Film& f) {
    double sum = 0.0;
    for (std::size_t i = 2; i < f.samples.size(); ++i)
      sum += std::pow(double(f.samples[i]) - double(f.samples[i - 2]), 2.0);
    return sum;
  };
  const double still = sharpness(film(shot, 1));
  shot.pointing.keys.push_back({Duration::ms(0.0), Duration::ms(8.0), {Angle::arcsec(3.0), Angle()}});
  EXPECT_LT(sharpness(film(shot, 1)), 0.8 * still);
}

TEST(SimulateRecording, DewDimsAndSpreadsTheLight) {
  ShotSpec shot = small_shot();
  shot.air.layers.clear();
  shot.pointing = {};
  shot.timing.frames = 1;
  const auto light = [&](const Film& f, int x, int y) {
    return double(f.samples[std::size_t(y * shot.width + x)]) - 16.0;
  };
  const auto sum = [&](const Film& f, int y_from, int y_to) {
    double s = 0.0;
    for (int y = y_from; y < y_to; ++y) {
      for (int x = 0; x < shot.width; ++x) s += light(f, x, y);
    }
    return s;
  };
  const Film clear = film(shot, 1);
  shot.dew = {0.4, 0.5, Angle::arcsec(3.0), Duration::s(-1e6), Duration::s(1.0)};
  ShotTruth truth;
  const Film wet = film(shot, 1, &truth);
  EXPECT_NEAR(truth.frames[0].veil.kept, 0.6, 1e-9);
  EXPECT_LT(sum(wet, 0, 80), 0.6 * sum(clear, 0, 80));
  EXPECT_GT(sum(wet, 0, 80), 0.4 * sum(clear, 0, 80));
  EXPECT_GT(sum(wet, 0, 6), 2.0 * sum(clear, 0, 6));
}

TEST(SimulateRecording, DroppedFramesLeaveGapsInTheTimes) {
  ShotSpec shot = small_shot();
  shot.timing.frames = 40;
  shot.timing.clock.dropped = 0.3;
  ShotTruth truth;
  const Film f = film(shot, 2, &truth);
  ASSERT_EQ(f.times.size(), 40U);
  int gaps = 0;
  for (std::size_t i = 1; i < 40; ++i) {
    const double apart = (truth.frames[i].middle - truth.frames[i - 1].middle) / shot.timing.interval;
    EXPECT_NEAR(apart, std::round(apart), 1e-9);
    gaps += apart > 1.5 ? 1 : 0;
  }
  EXPECT_GT(gaps, 3);
}

TEST(SimulateRecording, TheFieldTurns) {
  ShotSpec shot = small_shot();
  shot.air.layers.clear();
  shot.pointing = {};
  shot.body.kind = BodyKind::star;
  shot.body.centre = {Angle::arcsec(0.1753 * 30.0), Angle()};
  shot.brightness.electrons = {1e5, 1e5, 1e5};
  shot.pointing.field_rotation = AngularRate::deg_per_hour(3600.0);
  shot.timing.interval = Duration::s(1.0);
  shot.timing.frames = 11;
  const Film f = film(shot, 2);
  const std::size_t frame = std::size_t{96} * 80;
  for (const std::size_t i : {std::size_t{0}, std::size_t{10}}) {
    const auto brightest = std::max_element(f.samples.begin() + static_cast<long>(i * frame),
                                            f.samples.begin() + static_cast<long>((i + 1) * frame)) -
                           f.samples.begin() - static_cast<long>(i * frame);
    const double turn = 3.14159265 / 180.0 * static_cast<double>(i);
    EXPECT_NEAR(static_cast<double>(brightest % 96), 47.5 + 30.0 * std::cos(turn), 1.1);
    EXPECT_NEAR(static_cast<double>(brightest / 96), 39.5 + 30.0 * std::sin(turn), 1.1);
  }
}

TEST(SimulateRecording, AnotherSeedIsAnotherNight) {
  ShotSpec shot = small_shot();
  const Film one = film(shot, 2);
  shot.seed = 2;
  EXPECT_NE(film(shot, 2).samples, one.samples);
}

TEST(SimulateRecording, FramesComeInOrderWithTheirMidTimes) {
  ShotSpec shot = small_shot();
  shot.timing.start = *Utc::civil(2026, 11, 25, 21, 4);
  shot.timing.interval = Duration::ms(20.0);
  shot.timing.exposure = Duration::ms(10.0);
  const Film f = film(shot, 3);
  for (std::size_t i = 0; i < f.order.size(); ++i) {
    EXPECT_EQ(f.order[i], i);
    EXPECT_NEAR((f.times[i] - shot.timing.start).ms(), 20.0 * static_cast<double>(i) + 5.0, 1e-5);
  }
}

// Drift is where the mount leaves the picture at mid-exposure; jitter has the scatter it was given.
TEST(SimulateRecording, PointingTruth) {
  ShotSpec shot = small_shot();
  shot.width = shot.height = 64;
  shot.body.kind = BodyKind::star;
  shot.timing.frames = 400;
  ShotTruth truth;
  film(shot, 0, &truth);
  double squares = 0.0;
  for (std::size_t i = 0; i < truth.frames.size(); ++i) {
    const double t = shot.timing.interval.s() * static_cast<double>(i) + 0.004;
    const double x = truth.frames[i].pointing_px.x - shot.scale.pixels(Angle::arcsec(0.2 * t));
    const double y = truth.frames[i].pointing_px.y - shot.scale.pixels(Angle::arcsec(-0.1 * t));
    squares += x * x + y * y;
  }
  const double rms = std::sqrt(squares / 800.0);
  EXPECT_NEAR(rms / shot.scale.pixels(Angle::arcsec(0.05)), 1.0, 0.1);  // 400 frames: 2.5 %, four sigma
}

// A bright star in calm air: the recorded centre of light follows the truth, and red follows with its dispersion.
TEST(SimulateRecording, RecordedCentresFollowTheTruth) {
  ShotSpec shot = small_shot();
  shot.width = shot.height = 96;
  shot.body.kind = BodyKind::star;
  shot.sensor = {Mosaic::rgb, 16, 0.1, 0.5, 100.0, 60000.0};
  shot.brightness = {{3e4, 3e4, 3e4}, 0.0};
  shot.air.turbulence.r0 = Length::cm(30.0);
  shot.timing.frames = 20;
  ShotTruth truth;
  const Film f = film(shot, 0, &truth);
  const std::size_t frame_samples = std::size_t{96} * 96 * 3;
  for (std::size_t i = 0; i < 20; ++i) {
    double sum[3] = {}, x_sum[3] = {}, y_sum[3] = {};
    const double x_at = centre_of(96) + truth.frames[i].shift_px().x;
    const double y_at = centre_of(96) + truth.frames[i].shift_px().y;
    for (int y = 0; y < 96; ++y) {
      for (int x = 0; x < 96; ++x) {
        if (std::hypot(x - x_at, y - y_at) > 24.0) continue;
        for (std::size_t c = 0; c < 3; ++c) {
          const std::size_t place = i * frame_samples + static_cast<std::size_t>(y * 96 + x) * 3 + c;
          const double v = f.samples[place] - 100.0;
          sum[c] += v;
          x_sum[c] += v * x;
          y_sum[c] += v * y;
        }
      }
    }
    EXPECT_NEAR(x_sum[1] / sum[1], x_at, 0.25) << i;
    EXPECT_NEAR(y_sum[1] / sum[1], y_at, 0.25) << i;
    EXPECT_NEAR(x_sum[0] / sum[0] - x_sum[1] / sum[1], shot.scale.pixels(Angle::arcsec(0.1)), 0.25) << i;
    EXPECT_NEAR(y_sum[0] / sum[0] - y_sum[1] / sum[1], shot.scale.pixels(Angle::arcsec(0.2)), 0.25) << i;
  }
}

// The mean of a frame is the light that was asked for: brightness times electrons, plus sky, over gain, plus offset.
TEST(SimulateRecording, BrightnessComesOutAsAsked) {
  ShotSpec shot = small_shot();
  shot.sensor = {Mosaic::mono, 16, 2.0, 1.0, 50.0, 60000.0};
  shot.brightness = {{1.0, 1000.0, 1.0}, 3.0};
  shot.dispersion = {};
  shot.pointing = {};
  shot.air.layers.clear();
  shot.timing.frames = 8;
  ShotTruth truth;
  const Film f = film(shot, 0, &truth);
  double scene = 0.0;
  for (const float v : truth.perfect[1].samples()) scene += static_cast<double>(v);
  double recorded = 0.0;
  for (const auto v : f.samples) recorded += v / 8.0;
  const double pixels = 96.0 * 80.0;
  const double expected = (scene * 1000.0 + pixels * 3.0) / 2.0 + pixels * 50.0;
  EXPECT_NEAR(recorded / expected, 1.0, 2e-3);
}

// A mosaic looks at every second row of red and blue only, a mono sensor at green alone: what they see is the picture
// that a sensor of all colours sees, in every phase and with odd margins.
TEST(SimulateRecording, EverySensorSeesTheSamePicture) {
  ShotSpec shot = small_shot();
  shot.timing.frames = 3;
  shot.height = 62;
  shot.brightness = {{2e5, 3e5, 4e5}, 50.0};
  shot.sensor = {Mosaic::rgb, 16, 10.0, 0.0, 20.0, 1e6};
  const Film all = film(shot, 0);
  for (const Mosaic mosaic : {Mosaic::rggb, Mosaic::grbg, Mosaic::gbrg, Mosaic::bggr, Mosaic::mono}) {
    shot.sensor.mosaic = mosaic;
    const Film one = film(shot, 0);
    for (std::size_t i = 0; i < one.samples.size(); ++i) {
      const int x = static_cast<int>(i) % 96;
      const int y = static_cast<int>(i) / 96;  // frames have an even number of rows: the phase is kept
      const std::size_t c = mosaic == Mosaic::mono ? 1 : static_cast<std::size_t>(colour_at(mosaic, x, y));
      const double expected = all.samples[i * 3 + c];
      ASSERT_NEAR(one.samples[i], expected, 7.0 * std::sqrt(2.0 * std::max(expected - 20.0, 4.0) / 10.0) + 2.0)
          << name(mosaic) << " " << x << "," << y;
    }
  }
}

// A planet that drifts out of the frame does not come in again on the other side.
TEST(SimulateRecording, WhatLeavesTheFrameStaysOut) {
  ShotSpec shot = small_shot();
  shot.sensor = {Mosaic::mono, 16, 1.0, 0.0, 0.0, 60000.0};
  shot.brightness = {{0.0, 1000.0, 0.0}, 0.0};
  shot.pointing = {{Angle::arcsec(16.0), Angle::arcsec(0.0)}, Angle::arcsec(0.0)};
  shot.timing.interval = Duration::ms(100.0);
  const Film f = film(shot, 0);
  const std::uint16_t* last = f.samples.data() + std::size_t{10} * 96 * 80;
  double left_half = 0.0;
  for (int y = 0; y < 80; ++y) {
    for (int x = 0; x < 48; ++x) left_half += last[y * 96 + x];
  }
  EXPECT_LT(left_half / (48.0 * 80.0), 3.0);  // halo only; the disc has 500
}

TEST(SimulateRecording, ErrorsOfTheSinkEndIt) {
  Silent silent;
  int frames = 0;
  const auto result = simulate_recording(small_shot(), {}, silent, [&](const SimulatedFrame& frame) -> Result<void> {
    ++frames;
    if (frame.index == 2) return failed("disk full");
    return {};
  });
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().what, "disk full");
  EXPECT_EQ(frames, 3);
}

TEST(SimulateRecording, NonsenseIsRefusedByName) {
  Silent silent;
  ShotSpec shot = small_shot();
  shot.sensor.bits = 7;
  const auto result = simulate_recording(shot, {}, silent, [](const SimulatedFrame&) -> Result<void> { return {}; });
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().kind, ErrorKind::bad_input);
  EXPECT_EQ(result.error().where, "camera.bits");
}

class Impatient final : public Progress {
 public:
  void report(std::string_view, std::size_t, std::size_t) override { stop_ = true; }
  bool stop_requested() const override { return stop_; }

 private:
  bool stop_ = false;
};

TEST(SimulateRecording, StopsWhenAsked) {
  Impatient impatient;
  ShotSpec shot = small_shot();
  shot.timing.frames = 1000;
  const auto result =
      simulate_recording(shot, Threads{1}, impatient, [](const SimulatedFrame&) -> Result<void> { return {}; });
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().kind, ErrorKind::cancelled);
}

}  // namespace
}  // namespace halfarc
