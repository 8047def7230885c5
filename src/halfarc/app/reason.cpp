#include "halfarc/app/reason.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "halfarc/app/rounded.h"

namespace halfarc {
namespace {

std::string with_unit(std::string number, const std::string& unit) {
  if (unit.empty()) return number;
  return number + (unit == "\"" ? "" : " ") + unit;
}

}  // namespace

double shown(const Reason& reason) { return rounded(reason.value, reason.decimals); }

const Reason* find_reason(const std::vector<Reason>& reasons, std::string_view field) {
  const auto found =
      std::find_if(reasons.begin(), reasons.end(), [&](const Reason& reason) { return reason.field == field; });
  return found == reasons.end() ? nullptr : &*found;
}

std::string reason_words(const Reason& reason) {
  const std::string value = with_unit(fmt::format("{:.{}f}", shown(reason), reason.decimals), reason.unit);
  std::string inputs;
  for (const ReasonInput& input : reason.inputs) {
    inputs += fmt::format("{}{} {}", inputs.empty() ? "" : ", ", input.name,
                          with_unit(fmt::format("{:.5g}", input.value), input.unit));
  }
  std::string text = fmt::format("{}: {}\n    = {}\n", reason.what, value, reason.formula);
  if (!inputs.empty()) text += fmt::format("    with {}\n", inputs);
  return text + fmt::format("    source: {}\n", reason.source);
}

}  // namespace halfarc
