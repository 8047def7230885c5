#include "halfarc/frames/byte_order.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <vector>

#include "halfarc/base/random.h"
#include "small_files.h"

namespace halfarc {
namespace {

constexpr std::array<ByteOrder, 2> kBoth = {ByteOrder::little, ByteOrder::big};

std::string stored(const std::vector<unsigned>& samples, ByteOrder order) {
  std::string bytes;
  for (const unsigned v : samples) bytes += order == ByteOrder::little ? little(v, 2) : big(v, 2);
  return bytes;
}

ByteOrderVote::Verdict vote(const std::vector<unsigned>& samples, ByteOrder order, std::size_t stride, int bits) {
  ByteOrderVote votes;
  const std::string bytes = stored(samples, order);
  votes.add(std::as_bytes(std::span(bytes)), stride);
  return votes.verdict(bits);
}

// A disc of light on a dark sky with noise, `bits` deep, colours alternating by `stride` with different brightness.
std::vector<unsigned> disc(int bits, std::size_t stride, double brightness, std::uint64_t seed) {
  Rng rng(seed);
  std::vector<unsigned> samples;
  const double top = (1 << bits) - 1;
  for (int y = 0; y < 96; ++y) {
    for (int x = 0; x < 96; ++x) {
      const double r = std::hypot(x - 47.0, y - 50.0);
      const double gain = static_cast<std::size_t>(x) % stride == 0 ? 1.0 : 0.6;
      const double level = 0.01 * top + (r < 30.0 ? brightness * gain * top * (1.0 - r / 90.0) : 0.0);
      const double value = level + rng.normal() * (1.0 + 0.02 * level);
      samples.push_back(static_cast<unsigned>(std::lround(std::fmin(std::fmax(value, 0.0), top))));
    }
  }
  return samples;
}

TEST(ByteOrder, ReadsIntegersEitherWay) {
  const std::array<std::byte, 5> bytes = {std::byte{9}, std::byte{1}, std::byte{2}, std::byte{3}, std::byte{4}};
  EXPECT_EQ(integer_at<std::uint16_t>(bytes, 1, ByteOrder::little), 0x0201);
  EXPECT_EQ(integer_at<std::uint16_t>(bytes, 1, ByteOrder::big), 0x0102);
  EXPECT_EQ(integer_at<std::uint32_t>(bytes, 1, ByteOrder::big), 0x01020304U);
  EXPECT_EQ(swap_bytes<std::uint64_t>(0x0102030405060708ULL), 0x0807060504030201ULL);
}

TEST(ByteOrder, SmoothnessTellsForAllDepthsAndMosaics) {
  for (const ByteOrder order : kBoth) {
    for (const int bits : {10, 12, 14, 16}) {
      for (const std::size_t stride : {1U, 2U, 3U}) {
        const auto verdict = vote(disc(bits, stride, 0.7, 5), order, stride, 16);
        EXPECT_EQ(verdict.order, order) << bits << " bits, stride " << stride << ": " << verdict.why;
        EXPECT_NE(verdict.why.find("smoother"), std::string::npos) << verdict.why;
      }
    }
  }
}

TEST(ByteOrder, ScaledToTheTopOfSixteenBits) {
  for (const ByteOrder order : kBoth) {
    std::vector<unsigned> samples = disc(12, 2, 0.5, 6);
    for (unsigned& v : samples) v <<= 4;
    EXPECT_EQ(vote(samples, order, 2, 12).order, order);
  }
}

TEST(ByteOrder, TheBitsDecideWhereOneByteNeverChanges) {
  for (const ByteOrder order : kBoth) {
    const auto verdict = vote(disc(8, 1, 0.1, 7), order, 1, 12);  // faint: the high byte is always zero
    EXPECT_EQ(verdict.order, order);
    EXPECT_NE(verdict.why.find("12 bits"), std::string::npos) << verdict.why;
  }
}

TEST(ByteOrder, TheBusierByteDecidesInPureNoise) {
  for (const ByteOrder order : kBoth) {
    Rng rng(8);
    std::vector<unsigned> samples;
    for (int i = 0; i < 9000; ++i)
      samples.push_back(static_cast<unsigned>(std::lround(16384.0 + 250.0 * rng.normal())));
    EXPECT_EQ(vote(samples, order, 1, 16).order, order);
  }
}

TEST(ByteOrder, AFrameThatTellsNothingIsLittleEndian) {
  const auto verdict = vote(std::vector<unsigned>(500, 0), ByteOrder::big, 1, 16);
  EXPECT_EQ(verdict.order, ByteOrder::little);
  EXPECT_NE(verdict.why.find("do not tell"), std::string::npos);
}

}  // namespace
}  // namespace halfarc
