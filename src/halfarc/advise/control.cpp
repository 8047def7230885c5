#include "halfarc/advise/control.h"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <cstddef>
#include <optional>
#include <vector>

namespace halfarc {
namespace {

struct Facts {
  Control control;
  std::string_view name;
  std::string_view unit;
  std::string_view units;
  std::string_view forward;
  std::string_view back;
  std::string_view example;
};

constexpr std::array<Facts, every_control.size()> facts{{
    {Control::focus, "focus", "turn", "turns", "clockwise", "counter-clockwise", "1/16 cw"},
    {Control::levers, "levers", "mark", "marks", "up", "down", "-3.5 marks"},
    {Control::roll, "roll", "deg", "deg", "clockwise", "counter-clockwise", "4 deg cw"},
    {Control::screw_a, "screw-a", "turn", "turns", "clockwise", "counter-clockwise", "1/8 cw"},
    {Control::screw_b, "screw-b", "turn", "turns", "clockwise", "counter-clockwise", "1/8 ccw"},
    {Control::screw_c, "screw-c", "turn", "turns", "clockwise", "counter-clockwise", "1/16 cw"},
    {Control::altitude, "altitude", "s", "s", "up", "down", "2 s up"},
    {Control::azimuth, "azimuth", "s", "s", "right", "left", "2 s left"},
    {Control::spacing, "spacing", "mm", "mm", "more", "less", "15 mm"},
    {Control::exposure, "exposure", "ms", "ms", "more", "less", "-2 ms"},
    {Control::cooling, "cooling", "min", "min", "more", "less", "20 min"},
}};

const Facts& facts_of(Control control) {
  for (const Facts& one : facts) {
    if (one.control == control) return one;
  }
  return facts.front();
}

std::vector<std::string_view> words_of(std::string_view text) {
  std::vector<std::string_view> words;
  while (!text.empty()) {
    const std::size_t start = text.find_first_not_of(" \t");
    if (start == std::string_view::npos) break;
    text.remove_prefix(start);
    const std::size_t end = text.find_first_of(" \t");
    words.push_back(text.substr(0, end));
    text.remove_prefix(end == std::string_view::npos ? text.size() : end);
  }
  return words;
}

// A plain decimal number and nothing else; the sign is the caller's.
std::optional<double> plain_number(std::string_view word) {
  if (word.empty() || word.front() == '-' || word.front() == '+') return std::nullopt;
  double value = 0.0;
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value, std::chars_format::fixed);
  if (error != std::errc{} || end != word.data() + word.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

std::optional<double> number_or_fraction(std::string_view word) {
  const std::size_t slash = word.find('/');
  if (slash == std::string_view::npos) return plain_number(word);
  const auto above = plain_number(word.substr(0, slash));
  const auto below = plain_number(word.substr(slash + 1));
  if (!above || !below || *below <= 0.0) return std::nullopt;
  return *above / *below;
}

// +1, -1, or nothing when the word is no direction of this control.
std::optional<double> direction(const Facts& of, std::string_view word) {
  if (word == of.forward) return 1.0;
  if (word == of.back) return -1.0;
  if (!turns_about(of.control)) return std::nullopt;
  if (word == "cw") return 1.0;
  if (word == "ccw" || word == "anticlockwise" || word == "counterclockwise") return -1.0;
  return std::nullopt;
}

Error not_understood(const Facts& of, std::string_view amount) {
  return bad_input(fmt::format("\"{}\" is no amount for {}", amount, of.name), std::string(of.name),
                   fmt::format("write it like: halfarc turned {} {}", of.name, of.example));
}

// Parts of a turn, reduced: "1/16", "3/8", "1 1/4"; nothing when the amount is no such part within `near`.
std::optional<std::string> as_fraction(double turns, long below, double near) {
  const double parts = std::round(turns * static_cast<double>(below));
  if (parts < 1.0 || std::abs(turns - parts / static_cast<double>(below)) > near) return std::nullopt;
  auto above = static_cast<long>(parts);
  const long whole = above / below;
  above %= below;
  if (above == 0) return fmt::format("{}", whole);
  while (above % 2 == 0) {
    above /= 2;
    below /= 2;
  }
  return whole > 0 ? fmt::format("{} {}/{}", whole, above, below) : fmt::format("{}/{}", above, below);
}

}  // namespace

std::string_view name_of(Control control) { return facts_of(control).name; }
std::string_view unit_of(Control control) { return facts_of(control).unit; }
bool turns_about(Control control) { return facts_of(control).forward == "clockwise"; }

Result<Control> control_named(std::string_view name) {
  std::string names;
  for (const Facts& one : facts) {
    if (one.name == name) return one.control;
    names += names.empty() ? "" : ", ";
    names += one.name;
  }
  return bad_input(fmt::format("no control is called \"{}\"", name), "", "use one of " + names);
}

Result<Turned> parse_turned(Control control, std::string_view amount) {
  const Facts& of = facts_of(control);
  std::vector<std::string_view> words = words_of(amount);
  if (words.empty()) return not_understood(of, amount);

  double sign = 1.0;
  const bool has_sign = words.front().front() == '-' || words.front().front() == '+';
  if (has_sign) {
    if (words.front().front() == '-') sign = -1.0;
    words.front().remove_prefix(1);
  }
  std::size_t next = 0;
  const auto first = number_or_fraction(words[next++]);
  if (!first) return not_understood(of, amount);
  double value = *first;
  if (next < words.size() && words[next].find('/') != std::string_view::npos) {
    const auto rest = number_or_fraction(words[next++]);
    if (!rest) return not_understood(of, amount);
    value += *rest;
  }
  if (next < words.size() && (words[next] == of.unit || words[next] == of.units)) ++next;
  if (next < words.size()) {
    const auto way = direction(of, words[next++]);
    if (!way || has_sign) return not_understood(of, amount);
    sign = *way;
  }
  if (next != words.size()) return not_understood(of, amount);
  return Turned{control, sign * value};
}

std::string in_words(const Turned& turned) {
  const Facts& of = facts_of(turned.control);
  const double size = std::abs(turned.amount);
  auto fraction = of.unit == "turn" ? as_fraction(size, 64, 1e-9) : std::nullopt;
  // A screw's eighth is told by eye; focus wants the degree.
  const bool fine = turned.control == Control::focus;
  if (!fraction && of.unit == "turn") fraction = as_fraction(size, 16, fine ? 0.002 : 0.01);
  if (!fraction && fine && size < 0.1)
    return fmt::format("{:.3f} turn ({:.0f} deg) {}", size, 360.0 * size, turned.amount < 0.0 ? of.back : of.forward);
  const std::string number = fraction ? *fraction : fmt::format("{:.3g}", size);
  const bool singular = size <= 1.0;
  return fmt::format("{} {} {}", number, singular ? of.unit : of.units, turned.amount < 0.0 ? of.back : of.forward);
}

}  // namespace halfarc
