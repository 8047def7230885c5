// From float planes to the 16-bit samples of a picture file.
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>
#include <vector>

#include "halfarc/base/result.h"
#include "halfarc/frames/image_writers.h"
#include "halfarc/frames/plane.h"

namespace halfarc {

// Errors (mistakes of the caller): no planes, an empty one, planes of different sizes.
Result<void> check_planes(std::span<const View<const float>> planes, const std::filesystem::path& path);

// The same for a picture: one or three planes, white above black.
Result<void> check_picture(std::span<const View<const float>> planes, const PictureForm& form,
                           const std::filesystem::path& path);

// black -> 0, white -> 65535, nearest, clipped; NaN -> 0.
std::uint16_t to_word(float value, float black, float white);

// Row y with the planes interleaved. `row` has width x planes samples.
void fill_row(std::span<const View<const float>> planes, const PictureForm& form, int y, std::span<std::uint16_t> row);

}  // namespace halfarc
