#include "halfarc/simulate/sensor.h"

#include <algorithm>
#include <cmath>

namespace halfarc {
namespace {

// What the chain does to one pixel, in single precision for speed.
struct Converter {
  explicit Converter(const Sensor& sensor)
      : full_well(static_cast<float>(sensor.full_well_e)),
        read_noise(static_cast<float>(sensor.read_noise_e)),
        adu_per_electron(static_cast<float>(1.0 / sensor.electrons_per_adu)),
        offset_and_half(static_cast<float>(sensor.offset_adu + 0.5)),
        full_scale(static_cast<float>(sensor.full_scale_adu())) {}

  std::uint16_t sample(float mean_electrons, const PhotonNoise& noise, FastBits& bits) const {
    const float collected = std::min(noise.poisson(mean_electrons, bits), full_well);
    const float read = collected + read_noise * noise.normal(static_cast<std::uint32_t>(bits.next() >> 32));
    const float adu = read * adu_per_electron + offset_and_half;
    // Truncation after the half rounds. By way of int, which the processor converts to at once.
    return static_cast<std::uint16_t>(static_cast<int>(std::min(std::max(adu, 0.0F), full_scale)));
  }

  float full_well;
  float read_noise;
  float adu_per_electron;
  float offset_and_half;
  float full_scale;
};

const float* row_of(const std::array<View<const float>, 3>& light, Colour colour, int y) {
  return light[static_cast<std::size_t>(colour)].row(y);
}

}  // namespace

void read_out(const Sensor& sensor, const PhotonNoise& noise, const std::array<View<const float>, 3>& light, Rng rng,
              View<std::uint16_t> samples) {
  const Converter converter(sensor);
  const int width = light[1].width();
  for (int y = 0; y < light[1].height(); ++y) {
    FastBits bits(rng.child("row", static_cast<std::uint64_t>(y)).bits64());
    std::uint16_t* out = samples.row(y);
    if (sensor.mosaic == Mosaic::rgb) {
      for (int x = 0; x < width; ++x) {
        for (std::size_t c = 0; c < 3; ++c) *out++ = converter.sample(light[c].row(y)[x], noise, bits);
      }
    } else if (sensor.mosaic == Mosaic::mono) {
      const float* green = row_of(light, Colour::green, y);
      for (int x = 0; x < width; ++x) out[x] = converter.sample(green[x], noise, bits);
    } else {
      const float* even = row_of(light, colour_at(sensor.mosaic, 0, y), y);
      const float* odd = row_of(light, colour_at(sensor.mosaic, 1, y), y);
      for (int x = 0; x < width; ++x) out[x] = converter.sample((x & 1) == 0 ? even[x] : odd[x], noise, bits);
    }
  }
}

}  // namespace halfarc
