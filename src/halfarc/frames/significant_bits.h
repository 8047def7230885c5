// How many bits of a sample carry light: what the header says, corrected by what the samples show.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>

namespace halfarc {

// What a set of frames shows of the range their samples use.
class SampleRange {
 public:
  void add(std::span<const std::uint16_t> samples);

  std::uint16_t most = 0;
  std::uint16_t any = 0;    // all samples or-ed: a bit clear here is clear in every sample
  std::size_t at_most = 0;  // how many samples have the value `most`
  std::size_t samples = 0;
};

struct SignificantBits {
  int bits = 16;      // full scale is 2^bits - 2^zero_bits
  int zero_bits = 0;  // low bits that no sample uses
  std::string note;   // what was odd, or empty
};

// `said` bits by the header (1 to 16) in samples of 16 bits.
//   samples above 2^said - 1, all multiples of 2^(16-said): stored in the top of the 16 bits;
//   samples above 2^said - 1 otherwise: as many bits as the largest needs;
//   header says more bits than used and many samples pile up at 2^10, 2^12 or 2^14 less one: that is the sensor's top.
// Valid: the frames looked at are typical; a recording that is dark throughout keeps what the header says.
SignificantBits significant_bits(int said, const SampleRange& range);

}  // namespace halfarc
