#include "halfarc/frames/fits_header.h"

#include <fitsio.h>
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <mutex>

#include "halfarc/frames/cfitsio_lock.h"
#include "halfarc/frames/fits_guard.h"
#include "halfarc/frames/frame_times.h"
#include "halfarc/frames/input_file.h"
#include "halfarc/frames/open_fits.h"

namespace halfarc {
namespace {

constexpr int kMostExtensions = 64;
constexpr int kMostAxes = 9;

Error damaged(const std::filesystem::path& path, int status) {
  std::array<char, FLEN_STATUS> text{};
  fits_get_errstatus(status, text.data());
  return bad_input(fmt::format("cannot be read as FITS ({})", text.data()), path.string(),
                   "it is damaged: record or copy it again");
}

std::optional<std::string> text_key(fitsfile* file, const char* key) {
  std::array<char, FLEN_VALUE> value{};
  int status = 0;
  if (fits_read_key(file, TSTRING, key, value.data(), nullptr, &status) != 0) return std::nullopt;
  return std::string(value.data());
}

std::optional<double> number_key(fitsfile* file, const char* key) {
  double value = 0.0;
  int status = 0;
  if (fits_read_key(file, TDOUBLE, key, &value, nullptr, &status) != 0 || !std::isfinite(value)) return std::nullopt;
  return value;
}

// Moves to the first image of two or more axes. Zero, or the CFITSIO status of what went wrong.
int find_image(fitsfile* file) {
  int last = 0;
  for (int number = 1; number <= kMostExtensions; ++number) {
    int type = 0;
    int status = 0;
    if (fits_movabs_hdu(file, number, &type, &status) != 0) return last != 0 ? last : status;
    int axes = 0;
    if (type == IMAGE_HDU && fits_get_img_dim(file, &axes, &status) == 0 && axes >= 2) return 0;
    last = NOT_IMAGE;
  }
  return NOT_IMAGE;
}

// BAYERPAT shifted by XBAYROFF and YBAYROFF.
std::optional<Mosaic> mosaic_of(const std::string& pattern, int x_offset, int y_offset) {
  const auto mosaic = mosaic_named(pattern);
  if (!mosaic || !is_bayer(*mosaic)) return std::nullopt;
  const int red_x_now = (red_x(*mosaic) + x_offset) & 1;
  const int red_y_now = (red_y(*mosaic) + y_offset) & 1;
  if (red_y_now == 0) return red_x_now == 0 ? Mosaic::rggb : Mosaic::grbg;
  return red_x_now == 0 ? Mosaic::gbrg : Mosaic::bggr;
}

int offset_key(fitsfile* file, const char* key) {
  const double value = number_key(file, key).value_or(0.0);
  return static_cast<int>(std::fmod(value, 2.0));
}

void read_mosaic(fitsfile* file, FitsHeader& header) {
  if (const auto pattern = text_key(file, "BAYERPAT"); pattern && !pattern->empty()) {
    const auto mosaic = mosaic_of(*pattern, offset_key(file, "XBAYROFF"), offset_key(file, "YBAYROFF"));
    if (mosaic) {
      header.mosaic = *mosaic;
    } else {
      header.notes.push_back(fmt::format("BAYERPAT '{}' is not known; frames are taken as mono", *pattern));
    }
  }
  const auto order = text_key(file, "ROWORDER");
  if (order == "TOP-DOWN") header.row_order = RowOrder::top_down;
  if (order == "BOTTOM-UP") header.row_order = RowOrder::bottom_up;
}

std::optional<Utc> date_key(fitsfile* file, const char* key, FitsHeader& header) {
  const auto text = text_key(file, key);
  if (!text) return std::nullopt;
  const auto date = Utc::parse(*text);
  if (date && is_plausible(*date)) return *date;
  header.notes.push_back(fmt::format("{} '{}' is not a date and is not used", key, *text));
  return std::nullopt;
}

void read_dates(fitsfile* file, FitsHeader& header) {
  header.exposure_start = date_key(file, "DATE-OBS", header);
  header.exposure_middle = date_key(file, "DATE-AVG", header);
  auto seconds = number_key(file, "EXPTIME");
  if (!seconds) seconds = number_key(file, "EXPOSURE");
  if (seconds && *seconds >= 0.0 && *seconds < 86'400.0) header.exposure = Duration::s(*seconds);
  if (!header.exposure_middle && header.exposure_start && header.exposure) {
    header.exposure_middle = *header.exposure_start + *header.exposure * 0.5;
  }
}

// The extension TIMES has one row a frame; its column UTC_NS counts nanoseconds since 1970-01-01.
void read_frame_times(fitsfile* file, FitsHeader& header) {
  int status = 0;
  int column = 0;
  LONGLONG rows = 0;
  std::array<char, 8> extension{"TIMES"};
  std::array<char, 8> name{"UTC_NS"};
  if (fits_movnam_hdu(file, BINARY_TBL, extension.data(), 0, &status) != 0) return;
  if (fits_get_colnum(file, CASEINSEN, name.data(), &column, &status) != 0) return;
  if (fits_get_num_rowsll(file, &rows, &status) != 0 || rows < 1) return;
  // Never more than the frames there can be: a damaged table may claim any number.
  std::int64_t frames = 1;
  for (std::size_t i = 2; i < header.axes.size(); ++i) {
    if (__builtin_mul_overflow(frames, header.axes[i], &frames)) return;
  }
  if (rows > frames || rows > (1 << 24)) return;
  std::vector<LONGLONG> ns(static_cast<std::size_t>(rows));
  if (fits_read_col(file, TLONGLONG, column, 1, 1, rows, nullptr, ns.data(), nullptr, &status) != 0) return;
  header.frame_times.reserve(ns.size());
  for (const LONGLONG value : ns) header.frame_times.push_back(Utc::unix_ns(value));
}

}  // namespace

Mosaic flipped_rows(Mosaic mosaic, std::int64_t height) {
  if (!is_bayer(mosaic) || height % 2 != 0) return mosaic;
  switch (mosaic) {
    case Mosaic::rggb:
      return Mosaic::gbrg;
    case Mosaic::gbrg:
      return Mosaic::rggb;
    case Mosaic::grbg:
      return Mosaic::bggr;
    default:
      return Mosaic::grbg;
  }
}

Result<FitsHeader> read_fits_header(const std::filesystem::path& path) {
  HALFARC_TRY(const InputFile bytes, InputFile::open(path));
  HALFARC_CHECK(guard_fits_headers(bytes));
  const std::lock_guard lock(cfitsio_lock());
  const OpenFits open(path);
  fitsfile* const file = open.get();
  if (open.status() != 0) return damaged(path, open.status());
  if (const int status = find_image(file); status == NOT_IMAGE) {
    return bad_input("holds no image", path.string(), "name a FITS file with frames in it");
  } else if (status != 0) {
    return damaged(path, status);
  }
  int status = 0;
  if (fits_is_compressed_image(file, &status) != 0) {
    return bad_input("holds a compressed image, which cannot be streamed", path.string(), "uncompress it first");
  }
  FitsHeader header;
  int axes = 0;
  std::array<LONGLONG, kMostAxes> sizes{};
  fits_get_img_paramll(file, kMostAxes, &header.bitpix, &axes, sizes.data(), &status);
  LONGLONG header_start = 0;
  LONGLONG data_start = 0;
  LONGLONG data_end = 0;
  fits_get_hduaddrll(file, &header_start, &data_start, &data_end, &status);
  if (status != 0) return damaged(path, status);
  if (axes > kMostAxes) return damaged(path, BAD_NAXIS);
  header.axes.assign(sizes.begin(), sizes.begin() + axes);
  header.data_offset = static_cast<std::uint64_t>(data_start);
  header.bscale = number_key(file, "BSCALE").value_or(1.0);
  header.bzero = number_key(file, "BZERO").value_or(0.0);
  header.third_axis = text_key(file, "CTYPE3").value_or("");
  header.object = text_key(file, "OBJECT").value_or("");
  header.saturation = number_key(file, "SATURATE");
  if (!header.saturation) header.saturation = number_key(file, "DATAMAX");
  read_mosaic(file, header);
  read_dates(file, header);
  read_frame_times(file, header);
  return header;
}

}  // namespace halfarc
