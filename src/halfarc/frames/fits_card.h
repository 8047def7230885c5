// FitsCard: one line of a FITS header that a caller wants written.
#pragma once

#include <cstdint>
#include <string>
#include <variant>

namespace halfarc {

struct FitsCard {
  std::string keyword;  // at most 8 of A-Z 0-9 - _ ; HISTORY and COMMENT take text of any length
  std::variant<std::string, double, std::int64_t, bool> value;
  std::string comment = {};
};

}  // namespace halfarc
