#include "halfarc/frames/fits_blocks.h"

#include <fitsio.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <cstring>
#include <mutex>

#include "halfarc/frames/cfitsio_lock.h"

namespace halfarc {
namespace {

Error cannot_make(int status) {
  std::array<char, FLEN_STATUS> text{};
  fits_get_errstatus(status, text.data());
  fits_clear_errmsg();
  return failed(fmt::format("a FITS header could not be made ({})", text.data()), {}, "this is a mistake in halfarc");
}

// A FITS file in memory.
class MemoryFits {
 public:
  MemoryFits() { fits_create_memfile(&file_, &bytes_, &size_, kFitsBlock, std::realloc, &status_); }
  ~MemoryFits() {
    int ignored = 0;
    if (file_ != nullptr) fits_close_file(file_, &ignored);
    std::free(bytes_);
  }
  MemoryFits(const MemoryFits&) = delete;
  MemoryFits& operator=(const MemoryFits&) = delete;

  fitsfile* get() const { return file_; }
  int& status() { return status_; }

  // The bytes of the current header and data unit.
  Result<std::string> current() {
    LONGLONG begin = 0;
    LONGLONG data = 0;
    LONGLONG end = 0;
    fits_set_hdustruc(file_, &status_);
    fits_flush_file(file_, &status_);
    fits_get_hduaddrll(file_, &begin, &data, &end, &status_);
    if (status_ != 0) return cannot_make(status_);
    return std::string(static_cast<const char*>(bytes_) + begin, static_cast<std::size_t>(end - begin));
  }

 private:
  fitsfile* file_ = nullptr;
  void* bytes_ = nullptr;
  std::size_t size_ = 0;
  int status_ = 0;
};

std::string printable(std::string_view text) {
  std::string out(text);
  for (char& c : out) {
    if (c < 0x20 || c > 0x7E) c = '?';
  }
  return out;
}

bool is_keyword(std::string_view text) {
  const auto allowed = [](char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_'; };
  return !text.empty() && text.size() <= 8 && std::all_of(text.begin(), text.end(), allowed);
}

struct WriteValue {
  fitsfile* file;
  const char* key;
  const char* comment;
  int* status;

  void operator()(const std::string& value) const {
    constexpr std::size_t kOneCard = 68;  // longer text takes CONTINUE cards, announced as old readers expect it
    const std::string text = printable(value);
    if (text.size() + static_cast<std::size_t>(std::count(text.begin(), text.end(), '\'')) > kOneCard) {
      fits_write_key_longwarn(file, status);
    }
    fits_write_key_longstr(file, key, text.c_str(), comment, status);
  }
  void operator()(double value) const { fits_write_key_dbl(file, key, value, -15, comment, status); }
  void operator()(std::int64_t value) const { fits_write_key_lng(file, key, value, comment, status); }
  void operator()(bool value) const { fits_write_key_log(file, key, value ? 1 : 0, comment, status); }
};

void write_card(fitsfile* file, const FitsCard& card, int* status) {
  const std::string* text = std::get_if<std::string>(&card.value);
  if (text != nullptr && card.keyword == "HISTORY") {
    fits_write_history(file, printable(*text).c_str(), status);
  } else if (text != nullptr && card.keyword == "COMMENT") {
    fits_write_comment(file, printable(*text).c_str(), status);
  } else {
    const std::string comment = printable(card.comment);
    std::visit(WriteValue{file, card.keyword.c_str(), comment.c_str(), status}, card.value);
  }
}

}  // namespace

Result<std::string> fits_image_header(const FitsImageForm& form, std::span<const FitsCard> cards) {
  for (const FitsCard& card : cards) {
    if (is_keyword(card.keyword)) continue;
    return failed(fmt::format("'{}' is not a FITS keyword", card.keyword), {}, "this is a mistake in halfarc");
  }
  const std::lock_guard lock(cfitsio_lock());
  MemoryFits memory;
  int& status = memory.status();
  std::vector<LONGLONG> axes(form.axes.begin(), form.axes.end());
  axes.back() = 0;  // no data, so that CFITSIO makes only the header
  const auto count = static_cast<int>(axes.size());
  if (!form.extension.empty()) fits_create_imgll(memory.get(), 8, 0, nullptr, &status);
  fits_create_imgll(memory.get(), form.offset ? USHORT_IMG : form.bitpix, count, axes.data(), &status);
  if (!form.extension.empty()) {
    fits_write_key_str(memory.get(), "EXTNAME", form.extension.c_str(), "name of this extension", &status);
  }
  for (const FitsCard& card : cards) write_card(memory.get(), card, &status);
  HALFARC_TRY(std::string header, memory.current());
  set_last_axis(header, axes.size(), form.axes.back());
  return header;
}

void set_last_axis(std::string& header, std::size_t axes, std::int64_t length) {
  constexpr std::size_t kCard = 80;
  constexpr std::size_t kValueColumn = 10;
  const std::string key = fmt::format("{:<8}=", fmt::format("NAXIS{}", axes));
  for (std::size_t at = 0; at + kCard <= header.size(); at += kCard) {
    if (header.compare(at, key.size(), key) == 0) header.replace(at + kValueColumn, 20, fmt::format("{:>20}", length));
  }
}

Result<std::string> fits_times_table(std::span<const Utc> times) {
  std::vector<LONGLONG> ns;
  ns.reserve(times.size());
  for (const Utc time : times) ns.push_back(time.unix_ns());
  const std::lock_guard lock(cfitsio_lock());
  MemoryFits memory;
  int& status = memory.status();
  std::array<char, 8> name{"UTC_NS"};
  std::array<char, 4> form{"1K"};
  std::array<char, 4> unit{"ns"};
  std::array<char*, 1> names = {name.data()};
  std::array<char*, 1> forms = {form.data()};
  std::array<char*, 1> units = {unit.data()};
  const auto rows = static_cast<LONGLONG>(times.size());
  fits_create_imgll(memory.get(), 8, 0, nullptr, &status);
  fits_create_tbl(memory.get(), BINARY_TBL, rows, 1, names.data(), forms.data(), units.data(), "TIMES", &status);
  fits_write_key_str(memory.get(), "TIMESYS", "UTC", "time scale", &status);
  fits_write_comment(memory.get(), "UTC_NS: middle of each exposure, ns since 1970-01-01T00:00:00 UTC", &status);
  if (rows > 0) fits_write_col(memory.get(), TLONGLONG, 1, 1, 1, rows, ns.data(), &status);
  return memory.current();
}

std::string fits_padding(std::uint64_t data_bytes) {
  return std::string(static_cast<std::size_t>((kFitsBlock - data_bytes % kFitsBlock) % kFitsBlock), '\0');
}

}  // namespace halfarc
