#include "halfarc/frames/fits_cards.h"

#include <fitsio.h>

#include <array>
#include <cmath>
#include <cstdlib>

#include "halfarc/frames/cfitsio_lock.h"
#include "halfarc/frames/fits_guard.h"
#include "halfarc/frames/input_file.h"
#include "halfarc/frames/open_fits.h"

namespace halfarc {
namespace {

constexpr int kMostCards = 10'000;
constexpr std::size_t kHistoryWidth = 72;  // characters of a HISTORY card: a full one goes on in the next

std::string trimmed(std::string text) {
  const auto last = text.find_last_not_of(' ');
  return last == std::string::npos ? std::string() : text.substr(0, last + 1);
}

// 'KELDER  ' -> KELDER; a number or T as it is. Doubled quotes within are one.
std::string unquoted(const std::string& value) {
  if (value.size() < 2 || value.front() != '\'') return value;
  std::string text;
  for (std::size_t i = 1; i + 1 < value.size(); ++i) {
    text += value[i];
    if (value[i] == '\'' && value[i + 1] == '\'') ++i;
  }
  return trimmed(text);
}

}  // namespace

std::optional<std::string> FitsCards::text(const std::string& keyword) const {
  const auto found = values.find(keyword);
  if (found == values.end() || found->second.empty()) return std::nullopt;
  return found->second;
}

std::optional<double> FitsCards::number(const std::string& keyword) const {
  const auto found = text(keyword);
  if (!found) return std::nullopt;
  char* end = nullptr;
  const double value = std::strtod(found->c_str(), &end);
  if (end == found->c_str() || *end != '\0' || !std::isfinite(value)) return std::nullopt;
  return value;
}

Result<FitsCards> read_fits_cards(const std::filesystem::path& path) {
  HALFARC_TRY(const InputFile bytes, InputFile::open(path));
  HALFARC_CHECK(guard_fits_headers(bytes));
  const std::lock_guard lock(cfitsio_lock());
  const OpenFits open(path);
  int status = open.status();
  int count = 0;
  if (status == 0) fits_get_hdrspace(open.get(), &count, nullptr, &status);
  if (status != 0 || count > kMostCards) {
    return bad_input("cannot be read as FITS", path.string(), "give an image that halfarc make wrote");
  }
  FitsCards cards;
  bool goes_on = false;
  for (int i = 1; i <= count; ++i) {
    std::array<char, FLEN_KEYWORD> keyword{};
    std::array<char, FLEN_VALUE> value{};
    std::array<char, FLEN_COMMENT> comment{};
    if (fits_read_keyn(open.get(), i, keyword.data(), value.data(), comment.data(), &status) != 0) {
      status = 0;  // one damaged card does not hide the others
      continue;
    }
    const std::string name = keyword.data();
    if (name != "HISTORY") {
      goes_on = false;
      if (value[0] != '\0') cards.values.emplace(name, unquoted(value.data()));
      continue;
    }
    const std::string line = comment.data();
    if (goes_on) {
      cards.history.back() += line;
    } else {
      cards.history.push_back(line);
    }
    goes_on = line.size() >= kHistoryWidth;
  }
  for (std::string& line : cards.history) line = trimmed(line);
  return cards;
}

}  // namespace halfarc
