#include "halfarc/app/doctor_document.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <array>
#include <string_view>

#include "halfarc/app/rounded.h"

namespace halfarc {
namespace {

using nlohmann::json;

constexpr std::array<std::string_view, 4> kHealth = {"good", "unknown", "caution", "fault"};

std::string_view name_of(Health health) { return kHealth[static_cast<std::size_t>(health)]; }

json number_of(const FindingNumber& number) {
  json one = {{"name", number.name}, {"value", rounded(number.value, 4)}, {"unit", number.unit}};
  if (number.sigma) one["sigma"] = rounded(*number.sigma, 4);
  return one;
}

}  // namespace

std::string doctor_words(const std::vector<Finding>& findings) {
  std::string words;
  for (const Finding& f : findings) {
    words += fmt::format("{:<11} {:<8} {}\n", f.subject, name_of(f.health), f.what);
    words += fmt::format("{:<20} ({})\n", "", f.sure);
    if (!f.to_do.empty()) words += fmt::format("{:<20} -> {}\n", "", f.to_do);
  }
  return words;
}

std::string doctor_json(const std::vector<Finding>& findings, const DoctorRequest& request) {
  json document = {{"schema", "halfarc.doctor/1"},
                   {"version", request.version},
                   {"utc", request.now.iso(3)},
                   {"worst", name_of(worst(findings))},
                   {"findings", json::array()}};
  for (const Finding& f : findings) {
    json one = {{"subject", f.subject}, {"health", name_of(f.health)}, {"what", f.what}, {"sure", f.sure}};
    if (!f.to_do.empty()) one["to_do"] = f.to_do;
    one["numbers"] = json::array();
    for (const FindingNumber& number : f.numbers) one["numbers"].push_back(number_of(number));
    document["findings"].push_back(one);
  }
  return document.dump(2, ' ', false, json::error_handler_t::replace) + "\n";
}

}  // namespace halfarc
