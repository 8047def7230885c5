// OpenFits: a file that CFITSIO has open, closed at the end of the scope. For sources only.
#pragma once

#include <fitsio.h>

#include <filesystem>

namespace halfarc {

// Valid: while cfitsio_lock is held, after guard_fits_headers let the file through.
class OpenFits {
 public:
  explicit OpenFits(const std::filesystem::path& path) { fits_open_diskfile(&file_, path.c_str(), READONLY, &status_); }
  ~OpenFits() {
    int ignored = 0;
    if (file_ != nullptr) fits_close_file(file_, &ignored);
    fits_clear_errmsg();
  }
  OpenFits(const OpenFits&) = delete;
  OpenFits& operator=(const OpenFits&) = delete;

  fitsfile* get() const { return file_; }
  int status() const { return status_; }  // of opening; 0 when it is open

 private:
  fitsfile* file_ = nullptr;
  int status_ = 0;
};

}  // namespace halfarc
