#include "halfarc/app/clip_colours.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "halfarc/restore/colour_align.h"
#include "halfarc/restore/spectrum.h"

namespace halfarc {
namespace {

constexpr std::size_t kStretches = 4;
constexpr double kMarkings = 0.25;    // of blur^2 / diameter
constexpr double kUsualBlur = 0.125;  // of the diameter, where it is not known: rather too much
constexpr double kBurntOut =
    7.5e-3;  // of the diameter, of an over-exposed disc; found on 6 simulated ones of 78 pixels
constexpr std::array kCuts{0.4, 0.6};  // of full scale

// Red and blue against green on one mean; samples above `ceiling` count as that.
std::optional<ColourShift> shift_of(const AlignedMean& mean, double background, double ceiling) {
  std::array<Picture, 3> pictures;
  for (std::size_t c = 0; c < 3; ++c) {
    const SamplePlane& plane = mean.colours[c];
    SamplePlane cut{plane.value.copy(), plane.weight.copy(), plane.beside_x.copy(), plane.beside_y.copy()};
    for (float& v : cut.value.samples()) v = std::min(v, static_cast<float>(ceiling));
    pictures[c] = picture_of(cut, background);
  }
  const Spectrum green = spectrum_of(pictures[1].samples);
  std::array<ColourOffset, 3> offsets;
  for (const std::size_t c : {std::size_t{0}, std::size_t{2}}) {
    offsets[c] = colour_offset(green, spectrum_of(pictures[c].samples));
    if (!offsets[c].found) return std::nullopt;
    offsets[c].offset = offsets[c].offset + (pictures[c].beside - pictures[1].beside);
  }
  return ColourShift{offsets[0].offset, offsets[2].offset, offsets[0].sigma, offsets[2].sigma};
}

std::array<double, 4> offsets_of(const ColourShift& s) {
  return {s.red_minus_green.x, s.red_minus_green.y, s.blue_minus_green.x, s.blue_minus_green.y};
}
std::array<double, 4> sigmas_of(const ColourShift& s) {
  return {s.red_sigma.x, s.red_sigma.y, s.blue_sigma.x, s.blue_sigma.y};
}

template <class Change>
void change_sigmas(ColourShift& s, Change change) {
  s.red_sigma = {change(0, s.red_sigma.x), change(1, s.red_sigma.y)};
  s.blue_sigma = {change(2, s.blue_sigma.x), change(3, s.blue_sigma.y)};
}

// By how much the stretches scatter more than their coherence allows, at least 1.
double excess(const std::vector<ColourShift>& parts) {
  if (parts.size() < 3) return 1.0;
  const auto n = static_cast<double>(parts.size());
  double ratio = 0.0;
  for (std::size_t i = 0; i < 4; ++i) {
    double mean = 0.0, expected = 0.0, found = 0.0;
    for (const ColourShift& p : parts) mean += offsets_of(p)[i] / n;
    for (const ColourShift& p : parts) {
      found += std::pow(offsets_of(p)[i] - mean, 2) / (n - 1.0);
      expected += std::pow(sigmas_of(p)[i], 2) / n;
    }
    ratio += expected > 0.0 ? found / expected / 4.0 : 0.0;
  }
  return std::sqrt(std::max(1.0, ratio));
}

}  // namespace

Result<std::optional<ColourShift>> clip_colours(const Recording& recording, const RecordingIndex& index,
                                                std::span<const std::size_t> frames, const AlignedMean& mean,
                                                double background, const DiscLook& look, Threads threads) {
  if (!mean.has_colours()) return std::optional<ColourShift>();
  const bool over_exposed = look.over_exposed;
  const double full = recording.info().full_scale();
  std::optional<ColourShift> shift = shift_of(mean, background, over_exposed ? kCuts[0] * full : full);
  if (!shift) return shift;
  if (over_exposed) {
    const auto other = shift_of(mean, background, kCuts[1] * full);
    if (!other) return other;
    const auto a = offsets_of(*shift), b = offsets_of(*other);
    shift->red_minus_green = (shift->red_minus_green + other->red_minus_green) * 0.5;
    shift->blue_minus_green = (shift->blue_minus_green + other->blue_minus_green) * 0.5;
    change_sigmas(*shift, [&](std::size_t i, double s) { return std::hypot(s, 0.5 * (a[i] - b[i])); });
  }
  const std::size_t each = frames.size() / kStretches;
  std::vector<Result<std::optional<ColourShift>>> stretches(kStretches, std::optional<ColourShift>());
  if (each >= 8) {
    parallel_for(kStretches, threads, [&](std::size_t k) {
      const auto part = aligned_mean(recording, index, frames.subspan(k * each, each), mean.green().value.width());
      if (part) stretches[k] = shift_of(*part, background, over_exposed ? kCuts[0] * full : full);
      if (!part) stretches[k] = part.error();
    });
  }
  std::vector<ColourShift> parts;
  for (auto& stretch : stretches) {
    HALFARC_TRY(const std::optional<ColourShift> one, std::move(stretch));
    if (one) parts.push_back(*one);
  }
  const double blur = look.blur.value_or(kUsualBlur * look.diameter);
  const double markings = over_exposed ? kBurntOut * look.diameter : kMarkings * blur * blur / look.diameter;
  const double grows = excess(parts);
  change_sigmas(*shift, [&](std::size_t, double s) { return std::hypot(s * grows, markings); });
  return shift;
}

}  // namespace halfarc
