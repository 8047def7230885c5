// CSV lines: the small lists that the owner keeps by hand (horizon.csv, features.csv), cell by cell.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

namespace halfarc::sky {

// Without the white space at both ends.
std::string_view trimmed(std::string_view text);

// The lines of such a list that say something, trimmed, with their numbers from 1: no empty ones, no comments (#).
struct CsvLine {
  std::string_view text;
  int number = 0;
};
std::vector<CsvLine> lines_of(std::string_view text);

// What stands between commas or semicolons, trimmed; at least one cell. There are no quotes.
std::vector<std::string_view> cells_of(std::string_view line);

// The whole cell as a finite decimal number with a point; nothing when it is not one.
std::optional<double> number_in(std::string_view cell);

}  // namespace halfarc::sky
