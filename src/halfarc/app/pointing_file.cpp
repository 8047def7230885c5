#include "halfarc/app/pointing_file.h"

#include <array>
#include <cmath>

#include "halfarc/app/home.h"
#include "halfarc/sky/csv_line.h"

namespace halfarc {
namespace {

constexpr const char* kExample =
    "write lines like 0.84,35,-120,10: N m of moment, arcsec up, arcsec to the right, arcsec of error";
constexpr double kFarthest = 36'000.0;  // arcsec: ten degrees

}  // namespace

Result<PointingResponse> parse_pointing(std::string_view text, const std::string& where) {
  PointingResponse known;
  for (const sky::CsvLine& line : sky::lines_of(text)) {
    const std::string here = where + ", line " + std::to_string(line.number);
    const auto cells = sky::cells_of(line.text);
    if (cells.size() != 4)
      return bad_input("a reading has 4 values, this one has " + std::to_string(cells.size()), here, kExample);
    std::array<double, 4> values{};
    for (std::size_t i = 0; i < values.size(); ++i) {
      const auto value = sky::number_in(cells[i]);
      if (!value || std::abs(*value) > kFarthest)
        return bad_input("\"" + std::string(cells[i]) + "\" is no number in reason", here, kExample);
      values[i] = *value;
    }
    if (!(values[3] > 0.0)) return bad_input("the error must be above 0", here, kExample);
    known =
        with_reading(known, {values[0], Angle::arcsec(values[1]), Angle::arcsec(values[2]), Angle::arcsec(values[3])});
  }
  return known;
}

Result<PointingResponse> pointing_of_home(const std::filesystem::path& home) {
  HALFARC_TRY(const auto text, text_of_home_file(home, "pointing.csv"));
  if (!text) return PointingResponse{};
  return parse_pointing(*text, (home / "pointing.csv").string());
}

}  // namespace halfarc
