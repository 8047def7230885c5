// Small PNG and TIFF files written with libpng and libtiff directly.
#pragma once

#include <png.h>
#include <tiffio.h>

#include <cstdint>
#include <filesystem>
#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

#include "small_files.h"

namespace halfarc {

struct SmallPicture {
  int width = 8;
  int height = 6;
  int colours = 1;                // 1 or 3, and one more for alpha (2 or 4)
  int bits = 8;                   // 1, 2, 4 (PNG, grey), 8 or 16
  int significant_bits = 0;       // PNG sBIT
  bool interlaced = false;        // PNG
  std::uint16_t orientation = 1;  // TIFF
  bool planes = false;            // TIFF: one colour after another
  bool white_is_zero = false;     // TIFF
  std::uint16_t compression = COMPRESSION_NONE;
  const char* mode = "w";  // TIFF: "wl" little-endian, "wb" big-endian
};

inline void write_small_png(const std::filesystem::path& path, const SmallPicture& picture, const SampleAt& sample) {
  std::FILE* const file = std::fopen(path.c_str(), "wb");
  png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, nullptr, nullptr, nullptr);
  png_infop info = png_create_info_struct(png);
  if (file == nullptr || png == nullptr || info == nullptr) throw std::runtime_error("cannot write " + path.string());
  png_init_io(png, file);
  const int types[] = {0, PNG_COLOR_TYPE_GRAY, PNG_COLOR_TYPE_GRAY_ALPHA, PNG_COLOR_TYPE_RGB, PNG_COLOR_TYPE_RGB_ALPHA};
  png_set_IHDR(png, info, static_cast<png_uint_32>(picture.width), static_cast<png_uint_32>(picture.height),
               picture.bits, types[picture.colours], picture.interlaced ? PNG_INTERLACE_ADAM7 : PNG_INTERLACE_NONE,
               PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
  if (picture.significant_bits > 0) {
    const auto bits = static_cast<png_byte>(picture.significant_bits);
    const png_color_8 significant = {bits, bits, bits, bits, bits};
    png_set_sBIT(png, info, &significant);
  }
  png_write_info(png, info);
  if (picture.bits < 8) png_set_packing(png);
  const int passes = picture.interlaced ? png_set_interlace_handling(png) : 1;
  for (int pass = 0; pass < passes; ++pass) {
    for (int y = 0; y < picture.height; ++y) {
      std::string row;
      for (int x = 0; x < picture.width; ++x) {
        for (int c = 0; c < picture.colours; ++c) row += big(sample(0, x, y, c), picture.bits == 16 ? 2 : 1);
      }
      png_write_row(png, reinterpret_cast<png_const_bytep>(row.data()));
    }
  }
  png_write_end(png, info);
  png_destroy_write_struct(&png, &info);
  std::fclose(file);
}

inline void write_small_tiff(const std::filesystem::path& path, const SmallPicture& picture, const SampleAt& sample) {
  const std::unique_ptr<TIFF, void (*)(TIFF*)> tiff(TIFFOpen(path.c_str(), picture.mode), TIFFClose);
  if (!tiff) throw std::runtime_error("cannot write " + path.string());
  const bool rgb = picture.colours >= 3;
  TIFFSetField(tiff.get(), TIFFTAG_IMAGEWIDTH, picture.width);
  TIFFSetField(tiff.get(), TIFFTAG_IMAGELENGTH, picture.height);
  TIFFSetField(tiff.get(), TIFFTAG_BITSPERSAMPLE, picture.bits);
  TIFFSetField(tiff.get(), TIFFTAG_SAMPLESPERPIXEL, picture.colours);
  TIFFSetField(tiff.get(), TIFFTAG_ORIENTATION, picture.orientation);
  TIFFSetField(tiff.get(), TIFFTAG_COMPRESSION, picture.compression);
  TIFFSetField(tiff.get(), TIFFTAG_ROWSPERSTRIP, 3);
  TIFFSetField(tiff.get(), TIFFTAG_PLANARCONFIG, picture.planes ? PLANARCONFIG_SEPARATE : PLANARCONFIG_CONTIG);
  TIFFSetField(tiff.get(), TIFFTAG_PHOTOMETRIC,
               rgb                     ? PHOTOMETRIC_RGB
               : picture.white_is_zero ? PHOTOMETRIC_MINISWHITE
                                       : PHOTOMETRIC_MINISBLACK);
  if (picture.colours == 2 || picture.colours == 4) {
    const std::uint16_t alpha = EXTRASAMPLE_UNASSALPHA;
    TIFFSetField(tiff.get(), TIFFTAG_EXTRASAMPLES, 1, &alpha);
  }
  const int planes = picture.planes ? picture.colours : 1;
  for (int plane = 0; plane < planes; ++plane) {
    for (int y = 0; y < picture.height; ++y) {
      std::string row;  // in the order of this machine, which is little-endian
      for (int x = 0; x < picture.width; ++x) {
        for (int c = picture.planes ? plane : 0; c < (picture.planes ? plane + 1 : picture.colours); ++c) {
          row += little(sample(0, x, y, c), picture.bits / 8);
        }
      }
      TIFFWriteScanline(tiff.get(), row.data(), static_cast<std::uint32_t>(y), static_cast<std::uint16_t>(plane));
    }
  }
}

}  // namespace halfarc
