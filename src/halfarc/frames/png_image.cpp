#include <fmt/format.h>
#include <png.h>

#include <csetjmp>
#include <cstring>

#include "halfarc/base/atomic_file.h"
#include "halfarc/frames/byte_order.h"
#include "halfarc/frames/image_writers.h"
#include "halfarc/frames/picture_samples.h"

namespace halfarc {
namespace {

// What libpng's callbacks need. Its own errors end in longjmp, so nothing with a destructor lives in the function
// that calls it: everything is here.
struct PngTask {
  AtomicFile* file = nullptr;
  std::span<const View<const float>> planes;
  const PictureForm* form = nullptr;
  std::vector<ImageText> texts;
  std::vector<png_text> chunks;
  std::vector<std::uint16_t> row;
  std::optional<Error> error;
  std::string complaint;
};

void on_write(png_structp png, png_bytep bytes, std::size_t count) {
  auto& task = *static_cast<PngTask*>(png_get_io_ptr(png));
  auto written = task.file->write(std::as_bytes(std::span(bytes, count)));
  if (written) return;
  task.error = std::move(written).error();
  png_error(png, "write");
}

void on_flush(png_structp) {}

void on_error(png_structp png, png_const_charp text) {
  static_cast<PngTask*>(png_get_error_ptr(png))->complaint = text;
  png_longjmp(png, 1);
}

void on_warning(png_structp, png_const_charp) {}

void write_all(png_structp png, png_infop info, PngTask& task) {
  const View<const float>& first = task.planes.front();
  png_set_write_fn(png, &task, on_write, on_flush);
  png_set_IHDR(png, info, static_cast<png_uint_32>(first.width()), static_cast<png_uint_32>(first.height()), 16,
               task.planes.size() == 3 ? PNG_COLOR_TYPE_RGB : PNG_COLOR_TYPE_GRAY, PNG_INTERLACE_NONE,
               PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
  if (task.form->tone == Tone::screen) {
    png_set_sRGB_gAMA_and_cHRM(png, info, PNG_sRGB_INTENT_PERCEPTUAL);
  } else {
    png_set_gAMA(png, info, 1.0);  // samples are proportional to light
  }
  png_set_text(png, info, task.chunks.data(), static_cast<int>(task.chunks.size()));
  png_write_info(png, info);
  if (!is_native(ByteOrder::big)) png_set_swap(png);
  for (int y = 0; y < first.height(); ++y) {
    fill_row(task.planes, *task.form, y, task.row);
    png_write_row(png, reinterpret_cast<png_const_bytep>(task.row.data()));
  }
  png_write_end(png, info);
}

bool run(PngTask& task) {
  png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, &task, on_error, on_warning);
  if (png == nullptr) return false;
  png_infop info = png_create_info_struct(png);
  if (info == nullptr || setjmp(png_jmpbuf(png)) != 0) {
    png_destroy_write_struct(&png, &info);
    return false;
  }
  write_all(png, info, task);
  png_destroy_write_struct(&png, &info);
  return true;
}

bool is_ascii(const std::string& text) {
  for (const char c : text) {
    if (static_cast<unsigned char>(c) > 0x7E) return false;
  }
  return true;
}

// ASCII goes into tEXt, which every reader knows; other text into iTXt as UTF-8.
png_text chunk(ImageText& text) {
  png_text out{};
  out.compression = is_ascii(text.text) ? PNG_TEXT_COMPRESSION_NONE : PNG_ITXT_COMPRESSION_NONE;
  out.key = text.keyword.data();
  out.text = text.text.data();
  out.text_length = out.compression == PNG_TEXT_COMPRESSION_NONE ? text.text.size() : 0;
  out.itxt_length = out.compression == PNG_TEXT_COMPRESSION_NONE ? 0 : text.text.size();
  return out;
}

}  // namespace

Result<void> write_png_image(const std::filesystem::path& path, std::span<const View<const float>> planes,
                             const PictureForm& form) {
  HALFARC_CHECK(check_picture(planes, form, path));
  HALFARC_TRY(AtomicFile file, AtomicFile::create(path));
  PngTask task;
  task.file = &file;
  task.planes = planes;
  task.form = &form;
  task.row.resize(static_cast<std::size_t>(planes.front().width()) * planes.size());
  if (!form.description.empty()) task.texts.push_back({"Description", form.description});
  task.texts.push_back({"Software", form.software});
  if (form.taken) task.texts.push_back({"Creation Time", form.taken->iso(3)});
  task.texts.insert(task.texts.end(), form.texts.begin(), form.texts.end());
  for (ImageText& text : task.texts) task.chunks.push_back(chunk(text));
  if (!run(task)) {
    if (task.error) return *std::move(task.error);
    return failed(fmt::format("could not be made as PNG ({})", task.complaint), path.string(), "write it as FITS");
  }
  return file.commit();
}

}  // namespace halfarc
