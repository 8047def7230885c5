#include "halfarc/frames/picture_file.h"

#include <array>
#include <cstring>

#include "halfarc/frames/png_picture.h"
#include "halfarc/frames/tiff_picture.h"

namespace halfarc {
namespace {

template <std::size_t N>
bool begins_with(std::span<const std::byte> head, const std::array<unsigned char, N>& mark) {
  return head.size() >= N && std::memcmp(head.data(), mark.data(), N) == 0;
}

}  // namespace

bool looks_like_png(std::span<const std::byte> head) {
  return begins_with(head, std::array<unsigned char, 8>{0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'});
}

bool looks_like_tiff(std::span<const std::byte> head) {
  return begins_with(head, std::array<unsigned char, 4>{'I', 'I', 42, 0}) ||
         begins_with(head, std::array<unsigned char, 4>{'M', 'M', 0, 42}) ||
         begins_with(head, std::array<unsigned char, 4>{'I', 'I', 43, 0}) ||
         begins_with(head, std::array<unsigned char, 4>{'M', 'M', 0, 43});
}

Result<PictureHeader> read_picture_header(const std::filesystem::path& path, PictureKind kind) {
  return kind == PictureKind::png ? read_png_header(path) : read_tiff_header(path);
}

Result<void> read_picture(const std::filesystem::path& path, const PictureHeader& header, std::span<std::byte> into) {
  return header.kind == PictureKind::png ? read_png(path, header, into) : read_tiff(path, header, into);
}

}  // namespace halfarc
