#include "halfarc/frames/library_versions.h"

#include <fitsio.h>
#include <fmt/format.h>
#include <png.h>
#include <tiffio.h>

#include <string_view>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
}

namespace halfarc {
namespace {

std::string of_ffmpeg(const char* name, unsigned version) {
  return fmt::format("{} {}.{}.{}", name, AV_VERSION_MAJOR(version), AV_VERSION_MINOR(version),
                     AV_VERSION_MICRO(version));
}

// Its first line is "LIBTIFF, Version 4.5.0".
std::string of_tiff() {
  const std::string_view words = TIFFGetVersion();
  const std::string_view line = words.substr(0, words.find('\n'));
  return fmt::format("libtiff {}", line.substr(line.rfind(' ') + 1));
}

}  // namespace

std::vector<std::string> library_versions() {
  float cfitsio = 0.0F;
  fits_get_version(&cfitsio);
  return {fmt::format("CFITSIO {:.2f}", cfitsio), fmt::format("libpng {}", png_get_libpng_ver(nullptr)), of_tiff(),
          of_ffmpeg("libavformat", avformat_version()), of_ffmpeg("libavcodec", avcodec_version())};
}

}  // namespace halfarc
