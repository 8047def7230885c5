// Frames inside a FITS array: how they lie there, and how they become the samples a Recording hands out.
//
// The header is CFITSIO's work (fits_header.h). Samples are read here with pread and turned into this machine's byte
// order in the caller's buffer: CFITSIO would go through its own buffers under one lock for all threads, and scale
// every sample through double.
//
// Samples: BITPIX 8 -> u8; BITPIX 16 with BZERO 32768 -> u16; BITPIX 16 without BZERO -> u16 when no surveyed sample is
// negative (a negative one elsewhere becomes 0), else f32; any other BSCALE or BZERO, and BITPIX -32 -> f32 in physical
// units, BZERO + BSCALE * stored. NaN and infinities become 0, since nothing can be measured from them.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <span>

#include "halfarc/base/result.h"
#include "halfarc/frames/fits_header.h"
#include "halfarc/frames/input_file.h"
#include "halfarc/frames/recording.h"

namespace halfarc {

struct FitsLayout {
  enum class Coding { bytes, offset_words, signed_words, scaled_bytes, scaled_words, scaled_floats };

  int width = 0;
  int height = 0;
  int planes = 1;  // 3: colour planes one after another
  bool flip_rows = false;
  Coding coding = Coding::bytes;
  double bscale = 1.0;
  double bzero = 0.0;

  friend bool operator==(const FitsLayout&, const FitsLayout&) = default;

  Sample sample() const;
  std::size_t samples_per_frame() const;
  std::size_t stored_bytes_per_frame() const;
};

struct FitsArray {
  FitsLayout layout;
  Mosaic mosaic = Mosaic::mono;  // of the frames handed out
  std::uint64_t frames = 1;      // by the header
};

// Makes sense of a header: which axis counts frames and which colours.
//   2 axes: one frame. 3 axes: NAXIS3 frames; three colour planes when NAXIS3 is 3 and nothing (BAYERPAT, CTYPE3, a
//   table of three times) says otherwise. 4 axes: NAXIS4 frames of NAXIS3 = 1 or 3 planes.
// Errors (bad input): other BITPIX or axes; absurd sizes.
Result<FitsArray> fits_array(FitsHeader& header, const std::filesystem::path& path);

// Decodes `count` frames that lie one after another from `offset` on. `into` is aligned for the sample type.
Result<void> read_fits_frames(const InputFile& file, std::uint64_t offset, const FitsLayout& layout, std::size_t count,
                              std::span<std::byte> into);

// Sets info.bits and info.zero_bits from the header's saturation or from a survey of the samples, and notes NaNs.
Result<void> settle_bits(RecordingInfo& info, const FitsHeader& header,
                         const std::function<Result<void>(std::size_t frame, std::span<std::byte> into)>& read_frame);

}  // namespace halfarc
