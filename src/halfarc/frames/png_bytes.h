// A picture of eight bits as the bytes of a PNG file, to be shown at once rather than kept.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "halfarc/base/result.h"

namespace halfarc {

struct ScreenPicture {
  int width = 0, height = 0;
  int channels = 3;                   // 1 (grey) or 3 (red, green, blue)
  std::vector<std::uint8_t> samples;  // rows from the top, channels side by side; curve of screens already in
};

// Compressed as fast as goes. Errors (failed): sizes and samples that do not match, no memory.
Result<std::string> png_bytes(const ScreenPicture& picture);

}  // namespace halfarc
