#include "halfarc/frames/significant_bits.h"

#include <fmt/format.h>

#include <algorithm>
#include <bit>

namespace halfarc {
namespace {

// So many samples at exactly the top of a converter are clipped light, not chance.
constexpr std::size_t kPile = 16;

}  // namespace

void SampleRange::add(std::span<const std::uint16_t> values) {
  for (const std::uint16_t value : values) {
    any = static_cast<std::uint16_t>(any | value);
    if (value > most) {
      most = value;
      at_most = 0;
    }
    at_most += value == most ? 1 : 0;
  }
  samples += values.size();
}

SignificantBits significant_bits(int said, const SampleRange& range) {
  const int unused_low = range.any == 0 ? 0 : std::countr_zero(range.any);
  const int needed = static_cast<int>(std::bit_width(range.most));
  if (needed > said) {
    if (unused_low == 16 - said) {
      return {16, unused_low, fmt::format("{}-bit samples are stored in the top of 16 bits", said)};
    }
    return {needed, 0, fmt::format("the header says {} bits but samples use {}", said, needed)};
  }
  for (const int converter : {10, 12, 14}) {
    const bool at_top = range.most == (1U << converter) - 1;
    if (converter < said && at_top && range.at_most >= kPile) {
      return {converter, 0, fmt::format("the header says {} bits but samples stop at {} bits", said, converter)};
    }
  }
  if (said == 16 && needed == 16 && unused_low > 0) {
    return {16, unused_low, fmt::format("{}-bit samples are stored in the top of 16 bits", 16 - unused_low)};
  }
  return {said, 0, {}};
}

}  // namespace halfarc
