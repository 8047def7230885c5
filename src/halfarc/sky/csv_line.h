// CSV lines: the small lists that the owner keeps by hand (horizon.csv, features.csv), cell by cell.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

namespace halfarc::sky {

// Without the white space at both ends.
std::string_view trimmed(std::string_view text);

// What stands between commas or semicolons, trimmed; at least one cell. There are no quotes.
std::vector<std::string_view> cells_of(std::string_view line);

// The whole cell as a finite decimal number with a point; nothing when it is not one.
std::optional<double> number_in(std::string_view cell);

}  // namespace halfarc::sky
