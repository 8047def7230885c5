// Sensor: from light on the pixels to the numbers in a recording.
//
// A sample is: photons arrive at random (Poisson) under the filter of their site; what the full well cannot hold is
// lost; read noise is added; the sum is divided by the gain, the offset added, rounded to whole ADU and clipped to
// the range of the converter.
// Valid: shot-noise limited silicon; no dark current, which is nil in exposures of milliseconds. Accuracy: mean and
// variance within 2e-3. Source: [Janesick2007].
#pragma once

#include <array>
#include <cstdint>

#include "halfarc/base/random.h"
#include "halfarc/frames/mosaic.h"
#include "halfarc/frames/plane.h"
#include "halfarc/simulate/alias_tables.h"
#include "halfarc/simulate/photon_noise.h"

namespace halfarc {

struct Sensor {
  Mosaic mosaic = Mosaic::rggb;
  int bits = 12;                   // 8 to 16: full scale is 2^bits - 1
  double electrons_per_adu = 1.0;  // gain
  double read_noise_e = 1.2;       // electrons rms
  double offset_adu = 16.0;
  double full_well_e = 14000.0;

  double full_scale_adu() const { return static_cast<double>((1U << bits) - 1U); }
};

// The reading of frames: its tables are made once (a few milliseconds), then only read, by any number of threads.
// Where there are few electrons, as in the sky that fills most of a frame, photons, read noise and rounding are drawn
// in one: from tables of the finished samples.
class ReadOut {
 public:
  explicit ReadOut(const Sensor& sensor);

  // One frame: `light` holds the mean electrons of every pixel for red, green and blue (a mono sensor uses green).
  // `samples` is as wide as the light times samples_per_pixel(mosaic). The same bytes for the same rng, whoever calls.
  void frame(const std::array<View<const float>, 3>& light, Rng rng, View<std::uint16_t> samples) const;

 private:
  void make_faint_tables();
  std::uint16_t sample(float mean_electrons, FastBits& bits) const;
  std::uint16_t faint_sample(float mean_electrons, FastBits& bits) const;

  Sensor sensor_;
  // The chain in single precision, for speed.
  float full_well_;
  float read_noise_;
  float adu_per_electron_;
  float offset_and_half_;
  float full_scale_;
  PhotonNoise noise_;
  AliasTables faint_;         // samples for means from 0 on; none when they would spread too far
  float faint_up_to_ = 0.0F;  // electrons: means below have tables
};

}  // namespace halfarc
