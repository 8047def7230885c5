#include "halfarc/simulate/sensor.h"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

namespace halfarc {
namespace {

constexpr int kFaintElectrons = 4;
constexpr int kFaintTables = 64;        // an electron
constexpr double kMostSamples = 512.0;  // of a faint table

// The share of a normal number of this rms that lies below `limit`.
double below(double limit, double rms) {
  if (rms == 0.0) return limit > 0.0 ? 1.0 : 0.0;
  return 0.5 * std::erfc(-limit / (rms * std::sqrt(2.0)));
}

}  // namespace

ReadOut::ReadOut(const Sensor& sensor)
    : sensor_(sensor),
      full_well_(static_cast<float>(sensor.full_well_e)),
      read_noise_(static_cast<float>(sensor.read_noise_e)),
      adu_per_electron_(static_cast<float>(1.0 / sensor.electrons_per_adu)),
      offset_and_half_(static_cast<float>(sensor.offset_adu + 0.5)),
      full_scale_(static_cast<float>(sensor.full_scale_adu())) {
  make_faint_tables();
}

void ReadOut::make_faint_tables() {
  const std::vector<double> most = poisson_probabilities(kFaintElectrons);
  const double gain = 1.0 / sensor_.electrons_per_adu;
  const double noise = sensor_.read_noise_e * gain;
  const double well = sensor_.full_well_e;
  const auto level = [&](std::size_t electrons) {
    return sensor_.offset_adu + gain * std::min(static_cast<double>(electrons), well);
  };
  const double reach = 7.0 * noise + 1.0;
  const double lowest = std::clamp(std::floor(level(0) - reach), 0.0, sensor_.full_scale_adu());
  const double highest = std::clamp(std::ceil(level(most.size()) + reach), 0.0, sensor_.full_scale_adu());
  if (!(highest - lowest < kMostSamples)) return;
  const auto count = static_cast<std::size_t>(highest - lowest) + 1;

  // Of every number of electrons, how likely it is to be read as lowest, lowest + 1, ... highest.
  std::vector<std::vector<double>> read(most.size(), std::vector<double>(count));
  for (std::size_t electrons = 0; electrons < read.size(); ++electrons) {
    double before = 0.0;
    for (std::size_t i = 0; i < count; ++i) {
      const double limit = lowest + static_cast<double>(i) + 0.5 - level(electrons);
      const double up_to = i + 1 == count ? 1.0 : below(limit, noise);
      read[electrons][i] = up_to - before;
      before = up_to;
    }
  }
  std::vector<std::vector<double>> tables;
  for (int table = 0; table <= kFaintElectrons * kFaintTables; ++table) {
    const std::vector<double> photons = poisson_probabilities(table / static_cast<double>(kFaintTables));
    std::vector<double> samples(count, 0.0);
    for (std::size_t electrons = 0; electrons < photons.size(); ++electrons) {
      for (std::size_t i = 0; i < count; ++i) samples[i] += photons[electrons] * read[electrons][i];
    }
    tables.push_back(std::move(samples));
  }
  faint_ = AliasTables(tables, static_cast<std::uint32_t>(lowest));
  faint_up_to_ = static_cast<float>(kFaintElectrons);
}

inline std::uint16_t ReadOut::faint_sample(float mean_electrons, FastBits& stream) const {
  const std::uint64_t bits = stream.next();
  // The table below or above, so chosen by 16 bits that the mean is right.
  constexpr float in_65536ths = kFaintTables * 65536.0F;
  const auto place =
      static_cast<std::uint32_t>(static_cast<std::int32_t>(std::max(0.0F, mean_electrons) * in_65536ths));
  const std::uint32_t table = (place + (static_cast<std::uint32_t>(bits) & 0xffffU)) >> 16;
  return static_cast<std::uint16_t>(faint_.draw(table, static_cast<std::uint32_t>(bits >> 32)));
}

inline std::uint16_t ReadOut::sample(float mean_electrons, FastBits& bits) const {
  if (mean_electrons < faint_up_to_) return faint_sample(mean_electrons, bits);
  const float collected = std::min(noise_.poisson(mean_electrons, bits), full_well_);
  const float read = collected + read_noise_ * noise_.normal(static_cast<std::uint32_t>(bits.next() >> 32));
  const float adu = read * adu_per_electron_ + offset_and_half_;
  // Truncation after the half rounds. By way of int, which the processor converts to at once.
  return static_cast<std::uint16_t>(static_cast<int>(std::min(std::max(adu, 0.0F), full_scale_)));
}

void ReadOut::frame(const std::array<View<const float>, 3>& light, Rng rng, View<std::uint16_t> samples) const {
  const int width = light[1].width();
  const auto row_of = [&](Colour colour, int y) { return light[static_cast<std::size_t>(colour)].row(y); };
  for (int y = 0; y < light[1].height(); ++y) {
    FastBits bits(rng.child("row", static_cast<std::uint64_t>(y)).bits64());
    std::uint16_t* out = samples.row(y);
    if (sensor_.mosaic == Mosaic::rgb) {
      for (int x = 0; x < width; ++x) {
        for (std::size_t c = 0; c < 3; ++c) *out++ = sample(light[c].row(y)[x], bits);
      }
    } else if (sensor_.mosaic == Mosaic::mono) {
      const float* green = row_of(Colour::green, y);
      for (int x = 0; x < width; ++x) out[x] = sample(green[x], bits);
    } else {
      const float* even = row_of(colour_at(sensor_.mosaic, 0, y), y);
      const float* odd = row_of(colour_at(sensor_.mosaic, 1, y), y);
      for (int x = 0; x < width; ++x) out[x] = sample((x & 1) == 0 ? even[x] : odd[x], bits);
    }
  }
}

}  // namespace halfarc
