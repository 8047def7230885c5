#include <fmt/format.h>
#include <tiffio.h>

#include <algorithm>
#include <array>
#include <cstdarg>
#include <cstdio>
#include <memory>

#include "halfarc/base/atomic_file.h"
#include "halfarc/frames/image_writers.h"
#include "halfarc/frames/picture_samples.h"
#include "halfarc/frames/tiff_messages.h"

namespace halfarc {
namespace {

constexpr tmsize_t kStripBytes = 64 * 1024;

std::string description(const PictureForm& form) {
  std::string text = form.description;
  for (const ImageText& more : form.texts) {
    if (!text.empty()) text += '\n';
    text += more.keyword + ": " + more.text;
  }
  return text;
}

std::string date_time(Utc time) {
  const Utc::Civil c = time.civil();
  return fmt::format("{:04}:{:02}:{:02} {:02}:{:02}:{:02}", c.year, c.month, c.day, c.hour, c.minute, c.second);
}

bool set_fields(TIFF* tiff, std::span<const View<const float>> planes, const PictureForm& form) {
  const auto width = static_cast<std::uint32_t>(planes.front().width());
  const auto height = static_cast<std::uint32_t>(planes.front().height());
  const bool colour = planes.size() == 3;
  const std::string text = description(form);
  bool ok = TIFFSetField(tiff, TIFFTAG_IMAGEWIDTH, width) != 0;
  ok = ok && TIFFSetField(tiff, TIFFTAG_IMAGELENGTH, height) != 0;
  ok = ok && TIFFSetField(tiff, TIFFTAG_BITSPERSAMPLE, 16) != 0;
  ok = ok && TIFFSetField(tiff, TIFFTAG_SAMPLESPERPIXEL, colour ? 3 : 1) != 0;
  ok = ok && TIFFSetField(tiff, TIFFTAG_SAMPLEFORMAT, SAMPLEFORMAT_UINT) != 0;
  ok = ok && TIFFSetField(tiff, TIFFTAG_PHOTOMETRIC, colour ? PHOTOMETRIC_RGB : PHOTOMETRIC_MINISBLACK) != 0;
  ok = ok && TIFFSetField(tiff, TIFFTAG_PLANARCONFIG, PLANARCONFIG_CONTIG) != 0;
  ok = ok && TIFFSetField(tiff, TIFFTAG_ORIENTATION, ORIENTATION_TOPLEFT) != 0;
  ok = ok && TIFFSetField(tiff, TIFFTAG_COMPRESSION, COMPRESSION_NONE) != 0;
  const auto row_bytes = static_cast<tmsize_t>(width) * static_cast<tmsize_t>(planes.size() * sizeof(std::uint16_t));
  const auto rows = static_cast<std::uint32_t>(std::max<tmsize_t>(1, kStripBytes / row_bytes));
  ok = ok && TIFFSetField(tiff, TIFFTAG_ROWSPERSTRIP, rows) != 0;
  ok = ok && TIFFSetField(tiff, TIFFTAG_SOFTWARE, form.software.c_str()) != 0;
  if (!text.empty()) ok = ok && TIFFSetField(tiff, TIFFTAG_IMAGEDESCRIPTION, text.c_str()) != 0;
  if (form.taken) ok = ok && TIFFSetField(tiff, TIFFTAG_DATETIME, date_time(*form.taken).c_str()) != 0;
  return ok;
}

bool write_rows(TIFF* tiff, std::span<const View<const float>> planes, const PictureForm& form) {
  std::vector<std::uint16_t> row(static_cast<std::size_t>(planes.front().width()) * planes.size());
  for (int y = 0; y < planes.front().height(); ++y) {
    fill_row(planes, form, y, row);
    if (TIFFWriteScanline(tiff, row.data(), static_cast<std::uint32_t>(y), 0) < 0) return false;
  }
  return TIFFWriteDirectory(tiff) != 0;
}

}  // namespace

Result<void> write_tiff_image(const std::filesystem::path& path, std::span<const View<const float>> planes,
                              const PictureForm& form) {
  HALFARC_CHECK(check_picture(planes, form, path));
  const std::uint64_t bytes = static_cast<std::uint64_t>(planes.front().width()) *
                              static_cast<std::uint64_t>(planes.front().height()) * planes.size() * 2;
  if (bytes > 0xF000'0000ULL) {
    return failed("is larger than a TIFF file may be (4 GB)", path.string(), "write it as FITS");
  }
  HALFARC_TRY(AtomicFile file, AtomicFile::create(path));
  TiffMessages messages;
  std::unique_ptr<TIFF, void (*)(TIFF*)> tiff(messages.open(file.temporary_path(), "w"), TIFFClose);
  const bool written = tiff && set_fields(tiff.get(), planes, form) && write_rows(tiff.get(), planes, form);
  tiff.reset();  // the last bytes go to the disk here, and may fail to
  if (!written || messages.any()) {
    return failed(fmt::format("cannot be written as TIFF ({})", messages.first()), path.string(),
                  "free some space on that disk or choose another folder with -o");
  }
  return file.commit();
}

}  // namespace halfarc
