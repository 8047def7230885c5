// Whole FITS blocks in memory: headers and small tables made by CFITSIO, ready to be written to a file in order.
//
// Pixels do not pass through here. They are streamed behind their header, so that neither a long recording nor a large
// image is ever held twice; CFITSIO sees only headers.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"
#include "halfarc/frames/fits_card.h"

namespace halfarc {

constexpr std::size_t kFitsBlock = 2880;

struct FitsImageForm {
  std::string extension;  // name; empty for the primary image
  int bitpix = -32;       // 8, 16 or -32
  bool offset = false;    // unsigned 16-bit samples: BZERO 32768
  std::vector<std::int64_t> axes;
};

// The header of an image, padded to whole blocks. Text outside printable ASCII is written as '?', which the standard
// asks for. Errors (a mistake in the caller): a keyword that is none.
Result<std::string> fits_image_header(const FitsImageForm& form, std::span<const FitsCard> cards);

// Writes the length of the last axis into a header made above. It is patched in place so that frames can be streamed
// before their number is known.
void set_last_axis(std::string& header, std::size_t axes, std::int64_t length);

// The extension TIMES: one row a frame, column UTC_NS, nanoseconds since 1970-01-01T00:00:00 UTC.
Result<std::string> fits_times_table(std::span<const Utc> times);

// The zero bytes that fill up `data_bytes` to whole blocks.
std::string fits_padding(std::uint64_t data_bytes);

}  // namespace halfarc
