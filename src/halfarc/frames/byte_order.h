// Byte order of 16-bit samples: swapping it, reading integers by it, and telling it from the samples themselves.
#pragma once

#include <bit>
#include <concepts>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <span>
#include <string>

namespace halfarc {

enum class ByteOrder { little, big };

template <std::unsigned_integral T>
constexpr T swap_bytes(T value) {
  T swapped = 0;
  for (std::size_t i = 0; i < sizeof(T); ++i) {
    swapped = static_cast<T>((swapped << 8) | static_cast<T>(value & 0xFF));
    value = static_cast<T>(value >> 8);
  }
  return swapped;
}

constexpr bool is_native(ByteOrder order) {
  return (order == ByteOrder::little) == (std::endian::native == std::endian::little);
}

// The integer at `offset`, which with its size must lie inside `bytes`.
template <std::unsigned_integral T>
T integer_at(std::span<const std::byte> bytes, std::size_t offset, ByteOrder order) {
  T value;
  std::memcpy(&value, bytes.subspan(offset, sizeof(T)).data(), sizeof(T));
  return is_native(order) ? value : swap_bytes(value);
}

// Turns whole samples of type T in place from `order` to that of this machine. `bytes` is aligned for T.
template <std::unsigned_integral T>
void to_native(std::span<std::byte> bytes, ByteOrder order) {
  if (is_native(order)) return;
  T* const samples = reinterpret_cast<T*>(bytes.data());
  const std::size_t count = bytes.size() / sizeof(T);
  for (std::size_t i = 0; i < count; ++i) samples[i] = swap_bytes(samples[i]);
}

// Tells the byte order from frames of samples. Three things are looked at, the strongest first:
//   1. neighbours: in the right order samples of one colour that lie side by side differ little against the spread of
//      the whole frame; in the wrong order the noisy byte is taken for the large one;
//   2. bits: in the wrong order samples exceed the bits the header speaks of;
//   3. the two bytes: the low one takes more different values.
// When none of them tells, little-endian is taken, which nearly every camera program writes (common practice).
class ByteOrderVote {
 public:
  // One frame or a part of it as it lies in the file. `stride` is the distance in samples between neighbours of one
  // colour along a row (1 mono, 2 Bayer, 3 interleaved colours).
  void add(std::span<const std::byte> bytes, std::size_t stride);

  struct Verdict {
    ByteOrder order = ByteOrder::little;
    std::string why;  // "neighbouring samples are 8.1 times smoother that way"
  };
  Verdict verdict(int header_bits) const;

 private:
  struct Reading {
    double steps = 0.0;   // sum of the differences between neighbours
    double spread = 0.0;  // sum of the distances from the mean
    std::uint16_t most = 0;
  };
  Reading little_;
  Reading big_;
  std::uint64_t low_seen_[4] = {};   // which of the 256 values the first byte took
  std::uint64_t high_seen_[4] = {};  // ... and the second
};

}  // namespace halfarc
