// The cards of a finished image's primary header, read back: what image_writers.h wrote, or others in the same terms.
#pragma once

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "halfarc/base/result.h"

namespace halfarc {

struct FitsCards {
  std::map<std::string, std::string> values;  // by keyword, as text without quotes
  std::vector<std::string> history;           // long lines put together again

  std::optional<std::string> text(const std::string& keyword) const;
  std::optional<double> number(const std::string& keyword) const;  // finite ones only
};

// Thread safe. Errors (bad input): not FITS or damaged.
Result<FitsCards> read_fits_cards(const std::filesystem::path& path);

}  // namespace halfarc
