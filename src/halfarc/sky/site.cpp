#include "halfarc/sky/site.h"

#include <cctype>
#include <charconv>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

namespace halfarc::sky {
namespace {

constexpr const char* kExample =
    "write it as LATITUDE,LONGITUDE,HEIGHT, for example 57.1,-2.1,12 or \"57.1N 2.1W 12 m\"";

// Numbers, signs glued on, and the letters that follow them, in order: "57 06 N, 2.1W" -> 57 | 06 N | 2.1 W.
struct Piece {
  double number = 0.0;
  bool minus = false;
  char letter = 0;            // N, S, E, W or M (metres)
  bool ends_a_value = false;  // a comma or semicolon follows
};

bool is_number_character(char c) { return std::isdigit(static_cast<unsigned char>(c)) != 0 || c == '.'; }

std::optional<std::vector<Piece>> pieces_of(std::string_view text) {
  std::vector<Piece> pieces;
  for (std::size_t i = 0; i < text.size();) {
    const char c = text[i];
    const bool sign = c == '-' || c == '+';
    if (is_number_character(c) || (sign && i + 1 < text.size() && is_number_character(text[i + 1]))) {
      const std::size_t begin = sign ? i + 1 : i;
      Piece piece;
      piece.minus = c == '-';
      const auto [end, problem] = std::from_chars(text.data() + begin, text.data() + text.size(), piece.number);
      if (problem != std::errc()) return std::nullopt;
      i = static_cast<std::size_t>(end - text.data());
      pieces.push_back(piece);
    } else if (c == ',' || c == ';') {
      if (pieces.empty()) return std::nullopt;
      pieces.back().ends_a_value = true;
      ++i;
    } else if (std::isalpha(static_cast<unsigned char>(c)) != 0) {
      const char letter = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
      while (i < text.size() && std::isalpha(static_cast<unsigned char>(text[i])) != 0) ++i;  // the rest of the word
      if (letter == 'D') continue;                                                            // "deg"
      if (pieces.empty() || pieces.back().letter != 0) return std::nullopt;
      if (std::string_view("NSEWM").find(letter) == std::string_view::npos) return std::nullopt;
      pieces.back().letter = letter;
      if (letter != 'M') pieces.back().ends_a_value = true;
    } else {
      ++i;  // blanks, degree signs, minutes and seconds marks
    }
  }
  return pieces;
}

struct Value {
  double number = 0.0;
  char letter = 0;
};

// Joins degrees, minutes and seconds that no comma or letter separates; three bare numbers are three values.
std::optional<std::vector<Value>> values_of(const std::vector<Piece>& pieces) {
  bool marked = false;
  for (const auto& p : pieces) marked = marked || p.ends_a_value;
  std::vector<Value> values;
  for (std::size_t i = 0; i < pieces.size();) {
    double sum = 0.0, unit = 1.0;
    const bool minus = pieces[i].minus;
    char letter = 0;
    for (int count = 0; i < pieces.size(); ++count) {
      const auto& p = pieces[i++];
      if (count > 2 || (count > 0 && (p.minus || p.number >= 60.0))) return std::nullopt;
      sum += p.number * unit;
      unit /= 60.0;
      letter = p.letter;
      if (p.ends_a_value || letter != 0 || !marked) break;
    }
    values.push_back({minus ? -sum : sum, letter});
  }
  return values;
}

Error unreadable(std::string_view text, const std::string& why) {
  return bad_input(why, "site \"" + std::string(text) + "\"", kExample);
}

}  // namespace

Result<Site> parse_site(std::string_view text) {
  const auto pieces = pieces_of(text);
  if (!pieces || pieces->empty()) return unreadable(text, "this is no place that can be read");
  const auto values = values_of(*pieces);
  if (!values) return unreadable(text, "degrees, minutes and seconds cannot be told apart");
  if (values->size() < 2) return unreadable(text, "the longitude is missing");
  if (values->size() > 3) return unreadable(text, "there are more than three values");
  double latitude = (*values)[0].number, longitude = (*values)[1].number;
  const char north = (*values)[0].letter, east = (*values)[1].letter;
  if (north == 'E' || north == 'W' || east == 'N' || east == 'S') {
    return unreadable(text, "latitude (north or south) comes first, longitude (east or west) second");
  }
  if (north == 'S') latitude = -latitude;
  if (east == 'W') longitude = -longitude;
  const double height = values->size() == 3 ? (*values)[2].number : 0.0;
  if (!(std::abs(latitude) <= 90.0)) return unreadable(text, "a latitude lies between -90 and 90 degrees");
  if (!(std::abs(longitude) <= 360.0)) return unreadable(text, "a longitude lies between -180 and 180 degrees");
  if (!(height >= -500.0 && height <= 9000.0)) return unreadable(text, "a height lies between -500 and 9000 metres");
  return Site{Angle::deg(latitude), wrap_signed(Angle::deg(longitude)), Length::m(height)};
}

Weather usual_weather(Length height) {
  const double ratio = 1.0 - 2.25577e-5 * height.m();
  return {Pressure::hpa(1013.25 * std::pow(ratio, 5.25588)), Temperature::celsius(10.0), 0.7};
}

}  // namespace halfarc::sky
