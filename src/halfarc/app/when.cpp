#include "halfarc/app/when.h"

#include <array>
#include <cctype>
#include <charconv>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

namespace halfarc {
namespace {

constexpr const char* kExample = "type it like 2026-11-25T21:04Z";

Error unreadable(std::string_view text, std::string what = "this is no date or time that can be read") {
  return bad_input(std::move(what), "\"" + std::string(text) + "\"", kExample);
}

// A number with the sign that separates it from what follows, or a word.
struct Token {
  std::string word;  // lower case; empty for a number
  double number = 0.0;
  int digits = 0;  // of the whole part
  bool fraction = false;
  char before = ' ';  // the sign just before it
};

bool is_digit(char c) { return std::isdigit(static_cast<unsigned char>(c)) != 0; }
bool is_letter(char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; }

std::optional<std::vector<Token>> tokens_of(std::string_view text) {
  std::vector<Token> tokens;
  char before = ' ';
  for (std::size_t i = 0; i < text.size();) {
    const char c = text[i];
    Token token;
    token.before = before;
    if (is_digit(c)) {
      const std::size_t start = i;
      while (i < text.size() && is_digit(text[i])) ++i;
      token.digits = static_cast<int>(i - start);
      // A point begins a fraction only in seconds and Julian dates; between other numbers it separates.
      const bool may_have_fraction = before == ':' || token.digits >= 7;
      if (may_have_fraction && i + 1 < text.size() && text[i] == '.' && is_digit(text[i + 1])) {
        token.fraction = true;
        for (++i; i < text.size() && is_digit(text[i]);) ++i;
      }
      if (token.digits > 9) return std::nullopt;
      std::from_chars(text.data() + start, text.data() + i, token.number);
      tokens.push_back(token);
      before = ' ';
    } else if (is_letter(c)) {
      while (i < text.size() && is_letter(text[i])) {
        token.word += static_cast<char>(std::tolower(static_cast<unsigned char>(text[i++])));
      }
      tokens.push_back(token);
      before = ' ';
    } else if (std::string_view(" \t,.:/-+").find(c) != std::string_view::npos) {
      if (c != ' ' && c != '\t') before = c;
      ++i;
    } else {
      return std::nullopt;
    }
  }
  return tokens;
}

int month_named(const std::string& word) {
  constexpr std::array names = {"january", "february", "march",     "april",   "may",      "june",
                                "july",    "august",   "september", "october", "november", "december"};
  if (word.size() < 3) return 0;
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (std::string_view(names[i]).starts_with(word) || (word == "sept" && i == 8)) return static_cast<int>(i) + 1;
  }
  return 0;
}

struct Date {
  int year = 0, month = 0, day = 0;
};

// Reads a date from the front of `tokens` and takes its tokens away; nothing if there is none.
Result<std::optional<Date>> take_date(std::vector<Token>& tokens, std::string_view text, Utc now) {
  const auto number = [&](std::size_t i) { return i < tokens.size() && tokens[i].word.empty(); };
  const auto value = [&](std::size_t i) { return static_cast<int>(tokens[i].number); };
  const auto month = [&](std::size_t i) { return i < tokens.size() ? month_named(tokens[i].word) : 0; };
  const auto take = [&](std::size_t count) {
    tokens.erase(tokens.begin(), tokens.begin() + static_cast<std::ptrdiff_t>(count));
  };
  if (tokens.empty()) return std::optional<Date>();
  const std::string first = tokens[0].word;
  if (first == "today" || first == "tomorrow" || first == "yesterday") {
    const double days = first == "today" ? 0.0 : first == "tomorrow" ? 1.0 : -1.0;
    const auto c = (now + Duration::days(days)).civil();
    take(1);
    return std::optional(Date{c.year, c.month, c.day});
  }
  std::optional<Date> date;
  if (number(0) && tokens[0].digits == 4 && number(1) && number(2)) {
    date = Date{value(0), value(1), value(2)};
  } else if (number(0) && tokens[0].digits == 4 && month(1) != 0 && number(2)) {
    date = Date{value(0), month(1), value(2)};
  } else if (number(0) && month(1) != 0 && number(2) && tokens[2].digits == 4) {
    date = Date{value(2), month(1), value(0)};
  } else if (month(0) != 0 && number(1) && number(2) && tokens[2].digits == 4) {
    date = Date{value(2), month(0), value(1)};
  } else if (number(0) && number(1) && number(2) && tokens[2].digits == 4 && tokens[1].before == '.') {
    date = Date{value(2), value(1), value(0)};
  } else if (number(0) && number(1) && number(2) && tokens[2].digits == 4) {
    const int a = value(0), b = value(1);
    if (a <= 12 && b <= 12 && a != b) return unreadable(text, "day and month cannot be told apart");
    date = a > 12 ? Date{value(2), b, a} : Date{value(2), a, b};
  } else if (month(0) != 0 || (number(0) && month(1) != 0)) {
    return unreadable(text, "the year is missing");
  }
  if (date) take(3);
  return date;
}

// The rest of the tokens as a time of day with an optional zone, in seconds after midnight UTC.
std::optional<double> seconds_of(std::vector<Token> tokens) {
  while (!tokens.empty() && (tokens[0].word == "t" || tokens[0].word == "at")) tokens.erase(tokens.begin());
  std::vector<double> parts;  // hours, minutes, seconds
  double zone = 0.0;
  bool afternoon = false, half_days = false;
  for (std::size_t i = 0; i < tokens.size(); ++i) {
    const Token& t = tokens[i];
    if (t.word.empty()) {
      if ((t.before == '+' || t.before == '-') && !parts.empty()) {
        double minutes =
            t.digits > 2 ? std::floor(t.number / 100.0) * 60.0 + std::fmod(t.number, 100.0) : t.number * 60.0;
        if (t.digits <= 2 && i + 1 < tokens.size() && tokens[i + 1].word.empty()) minutes += tokens[++i].number;
        if (minutes > 14.0 * 60.0 || i + 1 != tokens.size()) return std::nullopt;
        zone = (t.before == '+' ? 60.0 : -60.0) * minutes;
        continue;
      }
      if (parts.size() == 3) return std::nullopt;
      parts.push_back(t.number);
    } else if (t.word == "am" || t.word == "pm") {
      half_days = true;
      afternoon = t.word == "pm";
    } else if (t.word != "ut" && t.word != "utc" && t.word != "gmt" && t.word != "z" && t.word != "h" &&
               t.word != "m" && t.word != "s" && t.word != "min") {
      return std::nullopt;
    }
  }
  if (parts.empty()) return std::nullopt;
  parts.resize(3, 0.0);
  if (half_days) {
    if (parts[0] < 1.0 || parts[0] > 12.0) return std::nullopt;
    parts[0] = std::fmod(parts[0], 12.0) + (afternoon ? 12.0 : 0.0);
  }
  if (parts[0] >= 24.0 || parts[1] >= 60.0 || parts[2] >= 60.0) return std::nullopt;
  return parts[0] * 3600.0 + parts[1] * 60.0 + parts[2] - zone;
}

}  // namespace

Result<Utc> parse_when(std::string_view text, Utc now) {
  if (const auto iso = Utc::parse(text)) return *iso;
  auto tokens = tokens_of(text);
  if (!tokens || tokens->empty()) return unreadable(text);
  if (tokens->size() == 1 && tokens->front().word == "now") return now;

  const bool julian = tokens->front().word == "jd";
  if (julian) tokens->erase(tokens->begin());
  if (tokens->size() == 1 && tokens->front().digits == 7) {
    const double days = tokens->front().number - 2440587.5;  // from 1970 January 1
    return Utc::unix_s(std::round(days * 86400.0 * 1e3) * 1e-3);
  }
  if (julian) return unreadable(text, "a Julian date has seven digits before the point");

  HALFARC_TRY(auto date, take_date(*tokens, text, now));
  if (!date && tokens->size() < 2) return unreadable(text);  // a bare number is neither
  if (!date) {
    const auto today = now.civil();
    date = Date{today.year, today.month, today.day};
  }
  if (date->year < 1678 || date->year > 2261) return unreadable(text, "only the years 1678 to 2261 can be told");
  auto midnight = Utc::civil(date->year, date->month, date->day);
  if (!midnight) {
    return unreadable(text, "the calendar has no day " + std::to_string(date->day) + " of month " +
                                std::to_string(date->month) + " in " + std::to_string(date->year));
  }
  if (tokens->empty()) return *midnight;
  const auto seconds = seconds_of(*tokens);
  if (!seconds) return unreadable(text, "the time of day cannot be read");
  return *midnight + Duration::s(*seconds);
}

std::string clock(Utc at) { return (at + Duration::s(30.0)).iso(0).substr(11, 5); }

}  // namespace halfarc
