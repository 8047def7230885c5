#include "halfarc/sky/csv_line.h"

#include <cctype>
#include <charconv>
#include <cmath>

namespace halfarc::sky {

std::string_view trimmed(std::string_view s) {
  const auto blank = [](char c) { return std::isspace(static_cast<unsigned char>(c)) != 0; };
  while (!s.empty() && blank(s.front())) s.remove_prefix(1);
  while (!s.empty() && blank(s.back())) s.remove_suffix(1);
  return s;
}

std::vector<CsvLine> lines_of(std::string_view text) {
  std::vector<CsvLine> lines;
  for (int number = 1; !text.empty(); ++number) {
    const auto end = text.find('\n');
    const std::string_view line = trimmed(text.substr(0, end));
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
    if (!line.empty() && line.front() != '#') lines.push_back({line, number});
  }
  return lines;
}

std::vector<std::string_view> cells_of(std::string_view line) {
  std::vector<std::string_view> cells;
  while (true) {
    const auto comma = line.find_first_of(",;");
    cells.push_back(trimmed(line.substr(0, comma)));
    if (comma == std::string_view::npos) return cells;
    line.remove_prefix(comma + 1);
  }
}

std::optional<double> number_in(std::string_view s) {
  double value = 0.0;
  if (!s.empty() && s.front() == '+') s.remove_prefix(1);
  const auto [end, problem] = std::from_chars(s.data(), s.data() + s.size(), value);
  if (problem != std::errc() || end != s.data() + s.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

}  // namespace halfarc::sky
