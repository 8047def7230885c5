// Opens TIFF files with libtiff's complaints caught instead of printed.
#pragma once

#include <filesystem>
#include <string>

struct tiff;

namespace halfarc {

class TiffMessages {
 public:
  // Null if it cannot be opened. The file must be closed (TIFFClose) while this object lives.
  struct ::tiff* open(const std::filesystem::path& path, const char* mode);

  // The first error libtiff reported, or "no reason given".
  std::string first() const { return first_.empty() ? "no reason given" : first_; }

  bool any() const { return !first_.empty(); }

  void keep(std::string message) {
    if (first_.empty()) first_ = std::move(message);
  }

 private:
  std::string first_;
};

}  // namespace halfarc
