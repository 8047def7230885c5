#include "halfarc/frames/tiff_picture.h"

#include <fmt/format.h>
#include <tiffio.h>

#include <algorithm>
#include <cstring>
#include <memory>
#include <vector>

#include "halfarc/frames/input_file.h"
#include "halfarc/frames/limits.h"
#include "halfarc/frames/tiff_messages.h"

namespace halfarc {
namespace {

using TiffFile = std::unique_ptr<TIFF, void (*)(TIFF*)>;

struct TiffForm {
  std::uint32_t width = 0;
  std::uint32_t height = 0;
  std::uint16_t bits = 1;
  std::uint16_t samples = 1;  // a pixel, alpha included
  std::uint16_t format = SAMPLEFORMAT_UINT;
  std::uint16_t photometric = PHOTOMETRIC_MINISBLACK;
  std::uint16_t planar = PLANARCONFIG_CONTIG;
  std::uint16_t orientation = ORIENTATION_TOPLEFT;

  std::size_t colours() const { return photometric == PHOTOMETRIC_RGB ? 3 : 1; }
};

TiffForm form_of(TIFF* tiff) {
  TiffForm form;
  TIFFGetField(tiff, TIFFTAG_IMAGEWIDTH, &form.width);
  TIFFGetField(tiff, TIFFTAG_IMAGELENGTH, &form.height);
  TIFFGetFieldDefaulted(tiff, TIFFTAG_BITSPERSAMPLE, &form.bits);
  TIFFGetFieldDefaulted(tiff, TIFFTAG_SAMPLESPERPIXEL, &form.samples);
  TIFFGetFieldDefaulted(tiff, TIFFTAG_SAMPLEFORMAT, &form.format);
  TIFFGetField(tiff, TIFFTAG_PHOTOMETRIC, &form.photometric);
  TIFFGetFieldDefaulted(tiff, TIFFTAG_PLANARCONFIG, &form.planar);
  TIFFGetFieldDefaulted(tiff, TIFFTAG_ORIENTATION, &form.orientation);
  return form;
}

Error damaged(const std::filesystem::path& path, const std::string& complaint) {
  return bad_input(fmt::format("cannot be read as TIFF ({})", complaint), path.string(),
                   "it is damaged: take it out of the folder or copy it again");
}

// Errors (bad input): a coding we do not read.
Result<void> check_form(TIFF* tiff, const TiffForm& form, const std::filesystem::path& path) {
  const auto refuse = [&](const std::string& what) {
    return bad_input(what, path.string(), "save the frames as plain grey or RGB TIFF of 8 or 16 bits");
  };
  const bool whole = form.format == SAMPLEFORMAT_UINT || form.format == SAMPLEFORMAT_VOID;
  if ((form.bits != 8 && form.bits != 16) || !whole) {
    return refuse(fmt::format("has samples of {} bits that are not whole positive numbers of 8 or 16", form.bits));
  }
  const bool grey = form.photometric == PHOTOMETRIC_MINISBLACK || form.photometric == PHOTOMETRIC_MINISWHITE;
  if (!grey && form.photometric != PHOTOMETRIC_RGB) return refuse("is neither grey nor RGB");
  if (form.samples < form.colours() || form.samples > form.colours() + 4) {
    return refuse(fmt::format("has {} samples a pixel", form.samples));
  }
  if (TIFFIsTiled(tiff) != 0) return refuse("is cut into tiles");
  if (form.orientation < ORIENTATION_TOPLEFT || form.orientation > ORIENTATION_BOTLEFT) {
    return refuse("is stored lying on its side");
  }
  return {};
}

// Row y of the file to its place in the frame, the colours of it that we want, mirrored as the orientation asks.
template <class T>
void place_row(const std::vector<std::byte>& row, const TiffForm& form, std::size_t y, std::size_t plane,
               std::span<std::byte> into) {
  const bool from_bottom = form.orientation == ORIENTATION_BOTLEFT || form.orientation == ORIENTATION_BOTRIGHT;
  const bool from_right = form.orientation == ORIENTATION_TOPRIGHT || form.orientation == ORIENTATION_BOTRIGHT;
  const bool planes = form.planar == PLANARCONFIG_SEPARATE;
  const std::size_t colours = form.colours();
  const T most = static_cast<T>(~T{0});
  const T* const from = reinterpret_cast<const T*>(row.data());
  T* const to = reinterpret_cast<T*>(into.data()) + (from_bottom ? form.height - 1 - y : y) * form.width * colours;
  for (std::size_t x = 0; x < form.width; ++x) {
    const std::size_t at = from_right ? form.width - 1 - x : x;
    for (std::size_t c = planes ? plane : 0; c < (planes ? plane + 1 : colours); ++c) {
      const T value = planes ? from[x] : from[x * form.samples + c];
      to[at * colours + c] = form.photometric == PHOTOMETRIC_MINISWHITE ? static_cast<T>(most - value) : value;
    }
  }
}

}  // namespace

Result<PictureHeader> read_tiff_header(const std::filesystem::path& path) {
  HALFARC_TRY(const InputFile exists, InputFile::open(path));
  TiffMessages messages;
  const TiffFile tiff(messages.open(path, "r"), TIFFClose);
  if (!tiff) return damaged(path, messages.first());
  const TiffForm form = form_of(tiff.get());
  HALFARC_CHECK(check_form(tiff.get(), form, path));
  PictureHeader header;
  header.kind = PictureKind::tiff;
  header.mosaic = form.colours() == 3 ? Mosaic::rgb : Mosaic::mono;
  header.sample = form.bits == 16 ? Sample::u16 : Sample::u8;
  HALFARC_CHECK(check_frame_size(form.width, form.height, header.mosaic, header.sample, path));
  header.width = static_cast<int>(form.width);
  header.height = static_cast<int>(form.height);
  if (TIFFLastDirectory(tiff.get()) == 0) header.notes.push_back("the TIFF file has several pages; the first is used");
  return header;
}

Result<void> read_tiff(const std::filesystem::path& path, const PictureHeader& header, std::span<std::byte> into) {
  HALFARC_TRY(const InputFile exists, InputFile::open(path));
  TiffMessages messages;
  const TiffFile tiff(messages.open(path, "r"), TIFFClose);
  if (!tiff) return damaged(path, messages.first());
  const TiffForm form = form_of(tiff.get());
  HALFARC_CHECK(check_form(tiff.get(), form, path));
  const bool same = static_cast<int>(form.width) == header.width && static_cast<int>(form.height) == header.height &&
                    form.bits / 8U == bytes_per_sample(header.sample) &&
                    form.colours() == static_cast<std::size_t>(samples_per_pixel(header.mosaic));
  const bool planes = form.planar == PLANARCONFIG_SEPARATE;
  const std::size_t row_bytes = std::size_t{form.width} * (planes ? 1U : form.samples) * (form.bits / 8U);
  if (!same) return damaged(path, "is another picture than before");
  if (static_cast<std::size_t>(TIFFScanlineSize(tiff.get())) != row_bytes) return damaged(path, "rows of odd length");
  std::vector<std::byte> row(row_bytes);
  for (std::size_t plane = 0; plane < (planes ? form.colours() : 1); ++plane) {
    for (std::uint32_t y = 0; y < form.height; ++y) {
      if (TIFFReadScanline(tiff.get(), row.data(), y, static_cast<std::uint16_t>(plane)) < 0) {
        return damaged(path, messages.first());
      }
      if (header.sample == Sample::u8) place_row<std::uint8_t>(row, form, y, plane, into);
      if (header.sample == Sample::u16) place_row<std::uint16_t>(row, form, y, plane, into);
    }
  }
  return {};
}

}  // namespace halfarc
