#include "halfarc/frames/library_versions.h"

#include <fitsio.h>
#include <fmt/format.h>
#include <png.h>
#include <tiffio.h>

#include <cmath>
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

// It tells a fraction: 4.02 is 4.2.
std::string of_cfitsio() {
  float version = 0.0F;
  fits_get_version(&version);
  const auto hundredths = static_cast<int>(std::lround(100.0 * static_cast<double>(version)));
  return fmt::format("CFITSIO {}.{}", hundredths / 100, hundredths % 100);
}

// Its first line is "LIBTIFF, Version 4.5.0".
std::string of_tiff() {
  const std::string_view words = TIFFGetVersion();
  const std::string_view line = words.substr(0, words.find('\n'));
  return fmt::format("libtiff {}", line.substr(line.rfind(' ') + 1));
}

}  // namespace

std::vector<std::string> library_versions() {
  return {of_cfitsio(), fmt::format("libpng {}", png_get_libpng_ver(nullptr)), of_tiff(),
          of_ffmpeg("libavformat", avformat_version()), of_ffmpeg("libavcodec", avcodec_version())};
}

}  // namespace halfarc
