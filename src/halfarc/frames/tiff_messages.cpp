#include "halfarc/frames/tiff_messages.h"

#include <tiffio.h>

#include <array>
#include <cstdarg>
#include <cstdio>

#include "halfarc/frames/limits.h"

namespace halfarc {
namespace {

int on_error(TIFF*, void* messages, const char*, const char* format, va_list values) {
  std::array<char, 256> text{};
  std::vsnprintf(text.data(), text.size(), format, values);
  static_cast<TiffMessages*>(messages)->keep(text.data());
  return 1;  // handled: libtiff need not print it
}

int on_warning(TIFF*, void*, const char*, const char*, va_list) { return 1; }

}  // namespace

struct ::tiff* TiffMessages::open(const std::filesystem::path& path, const char* mode) {
  TIFFOpenOptions* const options = TIFFOpenOptionsAlloc();
  if (options == nullptr) return nullptr;
  TIFFOpenOptionsSetErrorHandlerExtR(options, on_error, this);
  TIFFOpenOptionsSetWarningHandlerExtR(options, on_warning, nullptr);
  TIFFOpenOptionsSetMaxSingleMemAlloc(options, static_cast<tmsize_t>(kMostFrameBytes));
  TIFF* const file = TIFFOpenExt(path.c_str(), mode, options);
  TIFFOpenOptionsFree(options);
  return file;
}

}  // namespace halfarc
