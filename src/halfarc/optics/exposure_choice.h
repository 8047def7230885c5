// Exposure: how long, at what gain, how full the histogram and how many frames.
//
// The exposure is as long as the air and the motion allow (that limit is handed in), unless the well would overflow;
// then the gain brings the brightest detail to the wanted height. A longer exposure beats more gain, which adds no
// light.
#pragma once

#include <array>

#include "halfarc/base/duration.h"
#include "halfarc/optics/detector.h"

namespace halfarc {

// What a colour plane's histogram shows, as fractions of full scale.
struct ExpectedHistogram {
  double mean = 0.0;
  double peak = 0.0;       // brightest detail with three sigma of its noise
  bool overflows = false;  // well or converter
};

// `mean_e` electrons in the mean pixel, the brightest detail `peak_over_mean` times as many.
// Valid: any. Accuracy: as the electrons. Source: [Janesick2007]; three sigma: common practice.
ExpectedHistogram expected_histogram(const Detector& detector, double e_per_adu, double mean_e, double peak_over_mean);

struct ExposureWish {
  Duration longest = Duration::ms(10.0);   // that air and motion allow
  Duration shortest = Duration::ms(0.05);  // that the camera can do
  double peak = 0.75;                      // of full scale; common practice: 0.7 to 0.8
  double peak_over_mean = 1.5;
  Region region;
};

enum class ExposureLimit { motion, full_well, dim };  // dim: even the highest gain leaves the histogram low

struct ExposureChoice {
  Duration exposure;
  double e_per_adu = 1.0;
  std::array<ExpectedHistogram, 3> histograms;  // red, green, blue
  std::array<double, 3> signal_to_noise{};      // of the mean pixel in one frame
  ExposureLimit limit = ExposureLimit::motion;
  FrameRate frames;
  double gigabytes_per_minute = 0.0;
};

// For electrons a second in the mean pixel of each colour plane. The brightest plane is brought to the wanted peak.
// Valid: positive rates. Accuracy: as the rates. Source: common practice; noise: [Merline1995].
ExposureChoice choose_exposure(const Detector& detector, const std::array<double, 3>& electrons_per_s,
                               const ExposureWish& wish);

}  // namespace halfarc
