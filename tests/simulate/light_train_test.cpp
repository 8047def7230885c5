#include "halfarc/simulate/light_train.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "halfarc/air/turbulence.h"
#include "halfarc/base/fourier.h"

namespace halfarc {
namespace {

// Signed frequency of a bin, in cycles a sample.
double frequency(int bin, int n) { return static_cast<double>(2 * bin < n ? bin : bin - n) / n; }

constexpr PlateScale kScale = PlateScale::arcsec_per_px(0.1753);
const AirSpec kStill{{}, {}};

Atmosphere still_air(const Instrument& instrument) { return {kStill, instrument.pupil, Duration::s(1.0), Rng(1)}; }

std::array<Plane<float>, 3> planes(const LightTrain& train) {
  std::array<Plane<float>, 3> image;
  for (auto& plane : image) plane = Plane<float>(train.width(), train.height());
  return image;
}

BodySpec star_at(Angle x, Angle y) {
  BodySpec star;
  star.kind = BodyKind::star;
  star.centre = {x, y};
  return star;
}

struct Centre {
  double light = 0.0, x = 0.0, y = 0.0;
};
Centre centre(const Plane<float>& image) {
  Centre c;
  for (int y = 0; y < image.height(); ++y) {
    for (int x = 0; x < image.width(); ++x) {
      c.light += static_cast<double>(image(x, y));
      c.x += static_cast<double>(image(x, y)) * x;
      c.y += static_cast<double>(image(x, y)) * y;
    }
  }
  c.x /= c.light;
  c.y /= c.light;
  return c;
}

// Of what lies within `radius` of a place: the far halo, cut or wrapped by the frame, is left out.
Centre core(const Plane<float>& image, double x_at, double y_at, double radius) {
  Centre c;
  for (int y = 0; y < image.height(); ++y) {
    for (int x = 0; x < image.width(); ++x) {
      // A soft edge, so that a pixel does not jump in or out.
      const double inside = std::clamp(radius - std::hypot(x - x_at, y - y_at), 0.0, 1.0);
      const double v = inside * static_cast<double>(image(x, y));
      c.light += v;
      c.x += v * x;
      c.y += v * y;
    }
  }
  c.x /= c.light;
  c.y /= c.light;
  return c;
}

// The transform of a star's perfect image is the closed form of [ONeill1956] times that of the pixel.
TEST(LightTrain, PerfectStarHasTheClosedFormTransferFunction) {
  const Instrument instrument;
  constexpr int n = 128;
  const Scene scene = draw_scene(star_at(Angle::arcsec(0.0), Angle::arcsec(0.0)), {n, n, kScale}, 4);
  const auto image = LightTrain(instrument, scene, Angle::arcsec(1.0)).perfect_image();
  for (std::size_t c = 0; c < 3; ++c) {
    Plane<std::complex<float>> spectrum(n / 2 + 1, n);
    fourier_forward(n, n, image[c].data(), spectrum.data());
    for (int v = 0; v < n; v += 5) {
      for (int u = 0; u < n / 2; u += 3) {
        const auto nu_x = SpatialFrequency::per_rad(u / kScale.angle(n).rad());
        const auto nu_y = SpatialFrequency::per_rad(frequency(v, n) / kScale.angle(1.0).rad());
        const auto nu = SpatialFrequency::per_rad(std::hypot(nu_x.per_rad(), nu_y.per_rad()));
        const double expected = perfect_mtf(instrument.pupil, instrument.wavelengths[c], nu) *
                                pixel_mtf(kScale.angle(1.0), nu_x) * pixel_mtf(kScale.angle(1.0), nu_y);
        EXPECT_NEAR(std::abs(spectrum(u, v)), expected, 1e-5) << "colour " << c << " " << u << "," << v;
      }
    }
  }
}

// Through no air and a perfect sampled pupil the image is the perfect one, within what sampling the pupil costs.
TEST(LightTrain, NoAirShowsThePerfectImage) {
  const Instrument instrument;
  BodySpec body;
  body.equatorial_diameter = Angle::arcsec(20.0);
  const Scene scene = draw_scene(body, {192, 160, kScale}, oversample_for(instrument, kScale));
  const LightTrain train(instrument, scene, Angle::arcsec(2.0));
  const auto perfect = train.perfect_image();
  auto image = planes(train);
  train.expose(still_air(instrument), {}, *train.make_work(), image);
  for (std::size_t c = 0; c < 3; ++c) {
    double worst = 0.0;
    for (std::size_t i = 0; i < image[c].count(); ++i) {
      worst = std::max(worst, static_cast<double>(std::abs(image[c].samples()[i] - perfect[c].samples()[i])));
    }
    EXPECT_LT(worst, 0.012) << c;  // of a brightness of 1
    EXPECT_NEAR(centre(image[c]).light / centre(perfect[c]).light, 1.0, 1e-4) << c;
  }
}

TEST(LightTrain, KeepsAllLightAndTheMeanSceneBrightness) {
  const Instrument instrument;
  BodySpec body;
  body.equatorial_diameter = Angle::arcsec(15.0);
  const Scene scene = draw_scene(body, {160, 160, kScale}, 4);
  const auto bare = pixel_means(scene);
  const auto perfect = LightTrain(instrument, scene, Angle::arcsec(2.0)).perfect_image();
  for (std::size_t c = 0; c < 3; ++c) {
    EXPECT_NEAR(centre(perfect[c]).light / centre(bare[c]).light, 1.0, 1e-5);
    EXPECT_NEAR(centre(perfect[c]).x, centre(bare[c]).x, 0.02);  // the far halo is wrapped round the frame
    EXPECT_NEAR(centre(perfect[c]).y, centre(bare[c]).y, 0.02);
  }
}

// A shift of each colour moves its picture by just that, in odd and even frames, with pixels finer and coarser than
// the finest detail.
TEST(LightTrain, ShiftsAndPlacesAreExact) {
  const Instrument instrument;
  for (const double arcsec_per_px : {0.15, 0.33, 0.6}) {
    for (const int size : {96, 97}) {
      const PlateScale scale = PlateScale::arcsec_per_px(arcsec_per_px);
      const Scene scene = draw_scene(star_at(scale.angle(1.5), scale.angle(-2.25)), {size, size, scale},
                                     oversample_for(instrument, scale));
      const LightTrain train(instrument, scene, Angle::arcsec(1.0));
      auto image = planes(train);
      Exposure exposure;
      exposure.shift = {SkyOffset{scale.angle(4.3), scale.angle(0.0)}, SkyOffset{},
                        SkyOffset{scale.angle(0.0), scale.angle(-3.6)}};
      train.expose(still_air(instrument), exposure, *train.make_work(), image);
      const double x0 = centre_of(size) + 1.5;
      const double y0 = centre_of(size) - 2.25;
      const std::array<PixelPoint, 3> places = {PixelPoint{x0 + 4.3, y0}, PixelPoint{x0, y0}, PixelPoint{x0, y0 - 3.6}};
      const double tolerance = arcsec_per_px > 0.4 ? 0.05 : 0.01;  // coarse pixels blunt the centre, not the image
      for (std::size_t c = 0; c < 3; ++c) {
        const Centre seen = core(image[c], places[c].x, places[c].y, 12.0);
        EXPECT_NEAR(seen.x, places[c].x, tolerance) << size << " " << arcsec_per_px << " colour " << c;
        EXPECT_NEAR(seen.y, places[c].y, tolerance) << size << " " << arcsec_per_px << " colour " << c;
      }
      EXPECT_NEAR(centre(image[1]).light, 1.0, 0.01) << size << " " << arcsec_per_px;
    }
  }
}

// [Fried1966]: the mean transfer function of many independent exposures is that of the telescope times exp(-D/2).
// 480 moments far apart; Monte-Carlo error up to 0.02 at low frequencies, where image motion rules.
TEST(LightTrain, LongExposureTransferFunction) {
  Instrument instrument;
  constexpr int n = 128;
  const AirSpec air{{Length::cm(9.0), kSeeingWavelength, Length::m(20.0)},
                    {{0.6, Speed::m_per_s(1.0), Angle::deg(20.0), Length::m(0.0)},
                     {0.4, Speed::m_per_s(1.0), Angle::deg(75.0), Length::m(0.0)}}};
  const Scene scene = draw_scene(star_at(Angle::arcsec(0.0), Angle::arcsec(0.0)), {n, n, kScale}, 4);
  const LightTrain train(instrument, scene, Angle::arcsec(6.0));
  const auto work = train.make_work();
  auto image = planes(train);
  Plane<float> sum(n, n);
  constexpr int nights = 24;
  constexpr int moments = 20;
  for (int night = 0; night < nights; ++night) {
    const Atmosphere atmosphere(air, instrument.pupil, Duration::s(25.0),
                                Rng(21).child("night", static_cast<std::uint64_t>(night)));
    for (int moment = 0; moment < moments; ++moment) {
      Exposure exposure;
      exposure.middle = Duration::s(1.2 * moment);
      train.expose(atmosphere, exposure, *work, image);
      for (std::size_t i = 0; i < sum.count(); ++i) sum.samples()[i] += image[1].samples()[i] / (nights * moments);
    }
  }
  Plane<std::complex<float>> spectrum(n / 2 + 1, n);
  fourier_forward(n, n, sum.data(), spectrum.data());
  for (int u = 2; u < 40; u += 3) {
    const auto nu = SpatialFrequency::per_rad(u / kScale.angle(n).rad());
    const double expected = perfect_mtf(instrument.pupil, instrument.wavelengths[1], nu) *
                            pixel_mtf(kScale.angle(1.0), nu) *
                            long_exposure_mtf(air.turbulence, instrument.wavelengths[1], nu);
    EXPECT_NEAR(std::abs(spectrum(u, 0)), expected, 0.03) << u;
  }
}

TEST(LightTrain, TruthOfTheAirFollowsTheImage) {
  const Instrument instrument;
  constexpr int n = 160;
  const Scene scene = draw_scene(star_at(Angle::arcsec(0.0), Angle::arcsec(0.0)), {n, n, kScale}, 4);
  const LightTrain train(instrument, scene, Angle::arcsec(6.0));
  const auto work = train.make_work();
  auto image = planes(train);
  const AirSpec air{{Length::cm(12.0), kSeeingWavelength, Length::m(20.0)},
                    {{1.0, Speed::m_per_s(10.0), Angle::deg(20.0), Length::m(0.0)}}};
  const Atmosphere atmosphere(air, instrument.pupil, Duration::s(20.0), Rng(2));
  double tilt_squares = 0.0;
  double difference_squares = 0.0;
  for (int i = 0; i < 40; ++i) {
    Exposure exposure;
    exposure.middle = Duration::s(0.5 * i);
    const AirTruth truth = train.expose(atmosphere, exposure, *work, image);
    const Centre c = centre(image[1]);
    EXPECT_NEAR(c.x - centre_of(n), truth.centroid_px.x, 0.15);
    EXPECT_NEAR(c.y - centre_of(n), truth.centroid_px.y, 0.15);
    tilt_squares += truth.tilt_px.x * truth.tilt_px.x + truth.tilt_px.y * truth.tilt_px.y;
    const PixelOffset d = truth.tilt_px - truth.centroid_px;
    difference_squares += d.x * d.x + d.y * d.y;
    EXPECT_GT(truth.rms_nm, 10.0);
    EXPECT_LT(truth.rms_nm, 200.0);
  }
  // The least-squares slope and the centre of light are close kin, but not twins.
  EXPECT_LT(difference_squares, 0.25 * tilt_squares);
  EXPECT_GT(difference_squares, 0.001 * tilt_squares);
}

// 8 W lambda/D across, by geometry: light of a strongly defocused star stays within that and leaves a hole.
TEST(LightTrain, DefocusMakesARing) {
  Instrument instrument;
  instrument.defocus_waves = 5.0;
  constexpr int n = 192;
  const Scene scene = draw_scene(star_at(Angle::arcsec(0.0), Angle::arcsec(0.0)), {n, n, kScale}, 4);
  const LightTrain train(instrument, scene, Angle::arcsec(2.0));
  auto image = planes(train);
  train.expose(still_air(instrument), {}, *train.make_work(), image);
  const double unit = kScale.pixels(Angle::rad(instrument.wavelengths[1] / instrument.pupil.diameter));
  const double outer = 4.0 * 5.0 * unit;
  double inside = 0.0, hole = 0.0, total = 0.0;
  for (int y = 0; y < n; ++y) {
    for (int x = 0; x < n; ++x) {
      const double r = std::hypot(x - centre_of(n), y - centre_of(n));
      const double v = static_cast<double>(image[1](x, y));
      total += v;
      if (r < outer * 1.08) inside += v;
      if (r < outer * 0.34 * 0.7) hole += v;
    }
  }
  EXPECT_GT(inside / total, 0.93);
  EXPECT_LT(hole / total, 0.02);
}

// The spectrum inside a colour is drawn out along a line, and each fineness loses what the transform of that stretch
// says: for an evenly filled one of length l a sinc, sin(pi l nu) / (pi l nu) [Goodman2005]; its deviation is l /
// sqrt 12.
TEST(LightTrain, DispersionWithinAColourTakesTheContrastOfItsSpectrum) {
  Instrument instrument;
  constexpr int n = 128;
  const Scene scene = draw_scene(star_at(Angle::arcsec(0.0), Angle::arcsec(0.0)), {n, n, kScale}, 4);
  const LightTrain sharp(instrument, scene, Angle::arcsec(1.0));
  const Angle length = Angle::arcsec(1.2);
  instrument.smear[0] = {length * (0.6 / std::sqrt(12.0)), length * (0.8 / std::sqrt(12.0))};
  const LightTrain drawn_out(instrument, scene, Angle::arcsec(1.0));
  const auto spectra_of = [&](const LightTrain& train) {
    auto image = planes(train);
    train.expose(still_air(instrument), {}, *train.make_work(), image);
    std::array<Plane<std::complex<float>>, 3> spectra;
    for (std::size_t c = 0; c < 3; ++c) {
      spectra[c] = Plane<std::complex<float>>(n / 2 + 1, n);
      fourier_forward(n, n, image[c].data(), spectra[c].data());
    }
    return spectra;
  };
  const auto before = spectra_of(sharp), after = spectra_of(drawn_out);
  int compared = 0;
  for (int v = 0; v < n; v += 3) {
    for (int u = 0; u < n / 3; u += 2) {
      const double turns = length.rad() / kScale.angle(1.0).rad() * (0.6 * u / n + 0.8 * frequency(v, n));
      const double left = turns == 0.0 ? 1.0 : std::sin(std::numbers::pi * turns) / (std::numbers::pi * turns);
      if (std::abs(turns) > 0.6 || std::abs(before[0](u, v)) < 0.01F) continue;
      EXPECT_NEAR(std::abs(after[0](u, v)) / std::abs(before[0](u, v)), left, 0.05) << u << "," << v;
      EXPECT_NEAR(std::abs(after[1](u, v)), std::abs(before[1](u, v)), 1e-5F) << u << "," << v;
      ++compared;
    }
  }
  EXPECT_GT(compared, 100);
  // The truth beside it stays that of a perfect telescope in no air.
  const auto perfect = sharp.perfect_image(), still_perfect = drawn_out.perfect_image();
  for (std::size_t i = 0; i < perfect[0].count(); ++i) {
    ASSERT_EQ(perfect[0].samples()[i], still_perfect[0].samples()[i]);
  }
}

TEST(LightTrain, ExposureAveragesTheMomentsItHolds) {
  const Instrument instrument;
  const Scene scene = draw_scene(star_at(Angle::arcsec(0.0), Angle::arcsec(0.0)), {96, 96, kScale}, 4);
  const LightTrain train(instrument, scene, Angle::arcsec(4.0));
  const auto work = train.make_work();
  const Atmosphere atmosphere({}, instrument.pupil, Duration::s(1.0), Rng(4));
  auto first = planes(train), second = planes(train), both = planes(train);
  Exposure moment;
  moment.middle = Duration::ms(102.5);
  train.expose(atmosphere, moment, *work, first);
  moment.middle = Duration::ms(107.5);
  train.expose(atmosphere, moment, *work, second);
  Exposure exposure{Duration::ms(105.0), Duration::ms(10.0), 2, {}, {}};
  train.expose(atmosphere, exposure, *work, both);
  for (std::size_t i = 0; i < both[1].count(); ++i) {
    EXPECT_NEAR(both[1].samples()[i], 0.5F * (first[1].samples()[i] + second[1].samples()[i]), 1e-6F);
  }
}

}  // namespace
}  // namespace halfarc
