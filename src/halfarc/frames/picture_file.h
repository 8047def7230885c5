// One PNG or TIFF file as a frame: what its header says, and its samples.
//
// Samples come as they were stored: no gamma, no colour management. Alpha is left out; palettes and less than 8 bits
// are spread to 8 bits as the format defines. TIFF: strips of 8 or 16 unsigned bits, grey or RGB, interleaved or in
// planes, any compression libtiff knows; rows are put top first whatever the orientation tag says.
#pragma once

#include <cstddef>
#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "halfarc/base/result.h"
#include "halfarc/frames/mosaic.h"
#include "halfarc/frames/recording.h"

namespace halfarc {

enum class PictureKind { png, tiff };

struct PictureHeader {
  PictureKind kind = PictureKind::png;
  int width = 0;
  int height = 0;
  Mosaic mosaic = Mosaic::mono;  // mono or rgb
  Sample sample = Sample::u8;
  int said_bits = 0;  // significant bits by the header (PNG sBIT); 0 if it says nothing
  std::vector<std::string> notes;
};

// Recognised by content: a PNG signature, or a TIFF byte order mark.
bool looks_like_png(std::span<const std::byte> head);
bool looks_like_tiff(std::span<const std::byte> head);

// Errors (bad input): not such a file, damaged, absurd sizes, a coding halfarc does not read.
Result<PictureHeader> read_picture_header(const std::filesystem::path& path, PictureKind kind);

// The samples of a picture with that header, interleaved, native byte order. Thread safe. Errors: damaged or cut off;
// it has become another picture than the header says.
Result<void> read_picture(const std::filesystem::path& path, const PictureHeader& header, std::span<std::byte> into);

}  // namespace halfarc
