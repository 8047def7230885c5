// PNG files as frames, through libpng (picture_file.h).
#pragma once

#include <filesystem>
#include <span>

#include "halfarc/base/result.h"
#include "halfarc/frames/picture_file.h"

namespace halfarc {

Result<PictureHeader> read_png_header(const std::filesystem::path& path);
Result<void> read_png(const std::filesystem::path& path, const PictureHeader& header, std::span<std::byte> into);

}  // namespace halfarc
