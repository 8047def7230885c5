// The header of a FITS image as far as a recording needs it, read through CFITSIO.
//
// Conventions followed: FITS standard 4.0; BAYERPAT with XBAYROFF and YBAYROFF, and ROWORDER, as amateur cameras write
// them (common practice). BAYERPAT describes the array as stored, beginning at its first sample; when ROWORDER says
// BOTTOM-UP the rows are handed out reversed and the pattern is moved along.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "halfarc/base/duration.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"
#include "halfarc/frames/mosaic.h"

namespace halfarc {

enum class RowOrder { unsaid, top_down, bottom_up };

struct FitsHeader {
  int bitpix = 16;
  std::vector<std::int64_t> axes;  // two or more
  double bscale = 1.0;
  double bzero = 0.0;
  std::uint64_t data_offset = 0;  // of the first sample in the file
  Mosaic mosaic = Mosaic::mono;   // of the stored array
  RowOrder row_order = RowOrder::unsaid;
  std::string third_axis;  // CTYPE3
  std::optional<Utc> exposure_start;
  std::optional<Utc> exposure_middle;
  std::optional<Duration> exposure;
  std::string object;                // OBJECT
  std::optional<double> saturation;  // SATURATE or DATAMAX
  std::vector<Utc> frame_times;      // of the extension TIMES that halfarc writes
  std::vector<std::string> notes;
};

// The first image of two or more axes in the file: the primary one or an extension. Thread safe.
// Errors (bad input): not FITS or damaged; no image; compressed image.
Result<FitsHeader> read_fits_header(const std::filesystem::path& path);

// The pattern of the same sensor after its rows have been reversed.
Mosaic flipped_rows(Mosaic mosaic, std::int64_t height);

}  // namespace halfarc
