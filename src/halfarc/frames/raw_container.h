// The trade's raw-frames container (.ser): a header of 178 bytes, the frames one after another, and perhaps one time
// a frame behind them.
//
// All integers are little-endian. Header: 14 bytes of identification (any text), then int32 device, colour code (0
// mono; 8 RGGB, 9 GRBG, 10 GBRG, 11 BGGR; 16 to 19 complementary mosaics; 100 RGB, 101 BGR), an endianness flag,
// width, height, bits a plane and frame count; three texts of 40 bytes; local and UTC date as int64 counts of 100 ns
// since 0001-01-01. Samples take one byte up to 8 bits and two above.
//
// Programs disagree about the endianness flag, count wrongly when they are interrupted and leave times out, so each of
// these is settled from the file itself; what was found is said in the notes.
#pragma once

#include <memory>

#include "halfarc/base/result.h"
#include "halfarc/frames/input_file.h"
#include "halfarc/frames/recording.h"

namespace halfarc {

// Whether the file could be a raw-frames container whatever its name: known colour code, sane sizes, and a length
// that its frame count explains exactly.
bool looks_like_raw_container(const InputFile& file);

// Errors (bad input): too short, unknown colour code, complementary mosaic, absurd sizes, not one whole frame.
Result<std::unique_ptr<Recording>> open_raw_container(InputFile file);

}  // namespace halfarc
