#include "halfarc/frames/byte_order.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfarc {
namespace {

// The ratio of two roughnesses above which one order is plainly smoother. Pure noise gives 1 within a few per cent.
constexpr double kPlain = 1.25;

int values_seen(const std::uint64_t (&seen)[4]) {
  int count = 0;
  for (const std::uint64_t word : seen) count += std::popcount(word);
  return count;
}

double mean_of(std::span<const std::byte> bytes, ByteOrder order) {
  double sum = 0.0;
  for (std::size_t i = 0; i + 1 < bytes.size(); i += 2) sum += integer_at<std::uint16_t>(bytes, i, order);
  return sum / static_cast<double>(std::max<std::size_t>(1, bytes.size() / 2));
}

}  // namespace

void ByteOrderVote::add(std::span<const std::byte> bytes, std::size_t stride) {
  const std::size_t count = bytes.size() / 2;
  const auto read = [&](Reading& reading, ByteOrder order) {
    const double mean = mean_of(bytes, order);
    for (std::size_t i = 0; i < count; ++i) {
      const auto value = integer_at<std::uint16_t>(bytes, 2 * i, order);
      reading.most = std::max(reading.most, value);
      reading.spread += std::abs(value - mean);
      if (i < stride) continue;
      reading.steps += std::abs(value - integer_at<std::uint16_t>(bytes, 2 * (i - stride), order));
    }
  };
  read(little_, ByteOrder::little);
  read(big_, ByteOrder::big);
  for (std::size_t i = 0; i < count; ++i) {
    const auto low = std::to_integer<unsigned>(bytes[2 * i]);
    const auto high = std::to_integer<unsigned>(bytes[2 * i + 1]);
    low_seen_[low / 64] |= std::uint64_t{1} << (low % 64);
    high_seen_[high / 64] |= std::uint64_t{1} << (high % 64);
  }
}

ByteOrderVote::Verdict ByteOrderVote::verdict(int header_bits) const {
  const auto roughness = [](const Reading& r) { return r.spread > 0.0 ? r.steps / r.spread : 0.0; };
  const double little = roughness(little_);
  const double big = roughness(big_);
  const int low_values = values_seen(low_seen_);
  const int high_values = values_seen(high_seen_);
  // A byte that never changes makes both orders equally smooth.
  if (low_values > 1 && high_values > 1 && std::min(little, big) > 0.0) {
    const double ratio = std::max(little, big) / std::min(little, big);
    if (ratio >= kPlain) {
      return {little < big ? ByteOrder::little : ByteOrder::big,
              fmt::format("neighbouring samples are {:.1f} times smoother that way", ratio)};
    }
  }
  const bool little_fits = little_.most >> header_bits == 0;
  const bool big_fits = big_.most >> header_bits == 0;
  if (little_fits != big_fits) {
    return {little_fits ? ByteOrder::little : ByteOrder::big,
            fmt::format("only that way do all samples fit in {} bits", header_bits)};
  }
  if (low_values > 1 && high_values > 1 && low_values != high_values) {
    return {low_values > high_values ? ByteOrder::little : ByteOrder::big, "the low byte varies more that way"};
  }
  return {ByteOrder::little, "the samples do not tell, and nearly all programs write it so"};
}

}  // namespace halfarc
