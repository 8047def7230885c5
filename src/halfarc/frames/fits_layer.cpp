#include "halfarc/frames/fits_layer.h"

#include <fitsio.h>

#include <array>

#include "halfarc/frames/cfitsio_lock.h"
#include "halfarc/frames/fits_guard.h"
#include "halfarc/frames/input_file.h"
#include "halfarc/frames/open_fits.h"

namespace halfarc {
namespace {

constexpr long kLongestSide = 65'536;
constexpr long kMostPixels = 200'000'000;

}  // namespace

Result<std::vector<Plane<float>>> read_fits_layer(const std::filesystem::path& path, const std::string& name) {
  HALFARC_TRY(const InputFile bytes, InputFile::open(path));
  HALFARC_CHECK(guard_fits_headers(bytes));
  const std::lock_guard lock(cfitsio_lock());
  const auto wrong = [&](std::string what) {
    return bad_input(std::move(what), path.string(), "make the image again");
  };
  const OpenFits open(path);
  if (open.status() != 0) return wrong("cannot be read as FITS");
  fitsfile* const opened = open.get();
  int status = 0;
  std::string wanted = name;
  if (!name.empty()) fits_movnam_hdu(opened, IMAGE_HDU, wanted.data(), 0, &status);
  if (status != 0) return wrong("holds no layer " + name);
  std::array<long, 3> sizes{1, 1, 1};
  int axes = 0;
  fits_get_img_dim(opened, &axes, &status);
  fits_get_img_size(opened, 3, sizes.data(), &status);
  const auto [width, height, planes] = sizes;
  if (status != 0 || axes < 2 || axes > 3 || (planes != 1 && planes != 3)) return wrong("is no picture");
  if (width < 1 || height < 1 || width > kLongestSide || height > kLongestSide || width * height > kMostPixels)
    return wrong("is of an absurd size");
  std::vector<Plane<float>> read;
  for (long p = 0; p < planes; ++p) {
    Plane<float>& plane = read.emplace_back(static_cast<int>(width), static_cast<int>(height));
    std::array<long, 3> first{1, 1, p + 1};
    fits_read_pix(opened, TFLOAT, first.data(), static_cast<LONGLONG>(plane.count()), nullptr, plane.data(), nullptr,
                  &status);
  }
  if (status != 0) return wrong("cannot be read to its end");
  return read;
}

}  // namespace halfarc
