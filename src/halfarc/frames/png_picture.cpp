#include "halfarc/frames/png_picture.h"

#include <fmt/format.h>
#include <png.h>

#include <algorithm>
#include <csetjmp>
#include <vector>

#include "halfarc/frames/byte_order.h"
#include "halfarc/frames/input_file.h"
#include "halfarc/frames/limits.h"

namespace halfarc {
namespace {

constexpr png_alloc_size_t kMostChunkBytes = 8 * 1024 * 1024;

struct PngInfo {
  png_uint_32 width = 0;
  png_uint_32 height = 0;
  int depth = 0;
  int colour_type = 0;
  int said_bits = 0;
};

// libpng's errors end in longjmp, so nothing with a destructor lives in the functions that call it: everything it
// needs is here and belongs to the caller.
struct PngTask {
  const InputFile* file = nullptr;
  std::uint64_t position = 0;
  PngInfo info;
  bool want_samples = false;
  std::size_t row_bytes = 0;  // what the caller expects; another number is an error
  std::vector<png_bytep> rows;
  std::string complaint;
};

void on_read(png_structp png, png_bytep bytes, std::size_t count) {
  auto& task = *static_cast<PngTask*>(png_get_io_ptr(png));
  if (task.position > task.file->size() || count > task.file->size() - task.position) png_error(png, "cut off");
  const bool read = task.file->read(task.position, std::as_writable_bytes(std::span(bytes, count))).has_value();
  if (!read) png_error(png, "cannot be read");
  task.position += count;
}

void on_error(png_structp png, png_const_charp text) {
  static_cast<PngTask*>(png_get_error_ptr(png))->complaint = text;
  png_longjmp(png, 1);
}

void on_warning(png_structp, png_const_charp) {}

void read_info(png_structp png, png_infop info, PngTask& task) {
  png_set_read_fn(png, &task, on_read);
  png_set_user_limits(png, static_cast<png_uint_32>(kMostSide), static_cast<png_uint_32>(kMostSide));
  png_set_chunk_malloc_max(png, kMostChunkBytes);
  png_read_info(png, info);
  PngInfo& out = task.info;
  png_get_IHDR(png, info, &out.width, &out.height, &out.depth, &out.colour_type, nullptr, nullptr, nullptr);
  png_color_8p significant = nullptr;
  if (png_get_sBIT(png, info, &significant) != 0 && significant != nullptr) {
    out.said_bits = (out.colour_type & PNG_COLOR_MASK_COLOR) != 0 ? significant->green : significant->gray;
  }
}

void read_samples(png_structp png, png_infop info, PngTask& task) {
  if (task.info.colour_type == PNG_COLOR_TYPE_PALETTE) png_set_palette_to_rgb(png);
  if (task.info.colour_type == PNG_COLOR_TYPE_GRAY && task.info.depth < 8) png_set_expand_gray_1_2_4_to_8(png);
  png_set_strip_alpha(png);
  if (task.info.depth == 16 && !is_native(ByteOrder::big)) png_set_swap(png);
  png_set_interlace_handling(png);
  png_read_update_info(png, info);
  if (png_get_rowbytes(png, info) != task.row_bytes || png_get_image_height(png, info) != task.rows.size()) {
    png_error(png, "is another picture than before");
  }
  png_read_image(png, task.rows.data());
}

bool run(PngTask& task) {
  png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, &task, on_error, on_warning);
  if (png == nullptr) return false;
  png_infop info = png_create_info_struct(png);
  if (info == nullptr || setjmp(png_jmpbuf(png)) != 0) {
    png_destroy_read_struct(&png, &info, nullptr);
    return false;
  }
  read_info(png, info, task);
  if (task.want_samples) read_samples(png, info, task);
  png_destroy_read_struct(&png, &info, nullptr);
  return true;
}

Error damaged(const std::filesystem::path& path, const std::string& complaint) {
  return bad_input(fmt::format("cannot be read as PNG ({})", complaint), path.string(),
                   "it is damaged: take it out of the folder or copy it again");
}

}  // namespace

Result<PictureHeader> read_png_header(const std::filesystem::path& path) {
  HALFARC_TRY(const InputFile file, InputFile::open(path));
  PngTask task;
  task.file = &file;
  if (!run(task)) return damaged(path, task.complaint);
  const PngInfo& info = task.info;
  PictureHeader header;
  header.kind = PictureKind::png;
  header.mosaic = (info.colour_type & PNG_COLOR_MASK_COLOR) != 0 ? Mosaic::rgb : Mosaic::mono;
  header.sample = info.depth == 16 ? Sample::u16 : Sample::u8;
  HALFARC_CHECK(check_frame_size(info.width, info.height, header.mosaic, header.sample, path));
  header.width = static_cast<int>(info.width);
  header.height = static_cast<int>(info.height);
  header.said_bits = info.said_bits >= 1 && info.said_bits <= info.depth ? info.said_bits : 0;
  if (info.colour_type == PNG_COLOR_TYPE_PALETTE)
    header.notes.push_back("the picture has a palette, at most 256 colours");
  return header;
}

Result<void> read_png(const std::filesystem::path& path, const PictureHeader& header, std::span<std::byte> into) {
  HALFARC_TRY(const InputFile file, InputFile::open(path));
  PngTask task;
  task.file = &file;
  task.want_samples = true;
  const auto height = static_cast<std::size_t>(header.height);
  task.row_bytes = into.size() / height;
  for (std::size_t y = 0; y < height; ++y) {
    task.rows.push_back(reinterpret_cast<png_bytep>(into.data() + y * task.row_bytes));
  }
  if (!run(task)) return damaged(path, task.complaint);
  return {};
}

}  // namespace halfarc
