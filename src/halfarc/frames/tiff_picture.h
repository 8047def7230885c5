// TIFF files as frames, through libtiff (picture_file.h).
#pragma once

#include <filesystem>
#include <span>

#include "halfarc/base/result.h"
#include "halfarc/frames/picture_file.h"

namespace halfarc {

Result<PictureHeader> read_tiff_header(const std::filesystem::path& path);
Result<void> read_tiff(const std::filesystem::path& path, const PictureHeader& header, std::span<std::byte> into);

}  // namespace halfarc
