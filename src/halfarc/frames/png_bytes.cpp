#include "halfarc/frames/png_bytes.h"

#include <png.h>

#include <csetjmp>

namespace halfarc {
namespace {

// libpng's errors end in longjmp, so nothing with a destructor lives in the function that calls it.
struct Task {
  const ScreenPicture* picture = nullptr;
  std::string bytes;
};

void on_write(png_structp png, png_bytep bytes, std::size_t count) {
  static_cast<Task*>(png_get_io_ptr(png))->bytes.append(reinterpret_cast<const char*>(bytes), count);
}
void on_flush(png_structp) {}
void on_error(png_structp png, png_const_charp) { png_longjmp(png, 1); }
void on_warning(png_structp, png_const_charp) {}

bool run(Task& task) {
  png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, &task, on_error, on_warning);
  if (png == nullptr) return false;
  png_infop info = png_create_info_struct(png);
  if (info == nullptr || setjmp(png_jmpbuf(png)) != 0) {
    png_destroy_write_struct(&png, &info);
    return false;
  }
  const ScreenPicture& picture = *task.picture;
  png_set_write_fn(png, &task, on_write, on_flush);
  png_set_compression_level(png, 1);
  png_set_filter(png, 0, PNG_FILTER_SUB);
  png_set_IHDR(png, info, static_cast<png_uint_32>(picture.width), static_cast<png_uint_32>(picture.height), 8,
               picture.channels == 3 ? PNG_COLOR_TYPE_RGB : PNG_COLOR_TYPE_GRAY, PNG_INTERLACE_NONE,
               PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
  png_write_info(png, info);
  const std::size_t row = static_cast<std::size_t>(picture.width) * static_cast<std::size_t>(picture.channels);
  for (int y = 0; y < picture.height; ++y)
    png_write_row(png, picture.samples.data() + row * static_cast<std::size_t>(y));
  png_write_end(png, info);
  png_destroy_write_struct(&png, &info);
  return true;
}

}  // namespace

Result<std::string> png_bytes(const ScreenPicture& picture) {
  const auto samples = static_cast<std::size_t>(picture.width) * static_cast<std::size_t>(picture.height) *
                       static_cast<std::size_t>(picture.channels);
  const bool sound = picture.width > 0 && picture.height > 0 && (picture.channels == 1 || picture.channels == 3);
  Task task;
  task.picture = &picture;
  if (!sound || picture.samples.size() != samples || !run(task))
    return failed("could not be made as PNG", std::to_string(picture.width) + "x" + std::to_string(picture.height));
  return std::move(task.bytes);
}

}  // namespace halfarc
