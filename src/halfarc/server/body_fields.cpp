#include "halfarc/server/body_fields.h"

#include <nlohmann/json.hpp>

#include <algorithm>

namespace halfarc::server {
namespace {

Error wrong(std::string what, std::string where) {
  return {ErrorKind::usage, std::move(what), std::move(where), "see docs/contracts/http.md"};
}

bool is_among(FieldNames names, const std::string& key) {
  return std::find(names.begin(), names.end(), key) != names.end();
}

bool take_texts(const nlohmann::json& list, std::vector<std::string>& texts) {
  for (const auto& one : list) {
    if (!one.is_string()) return false;
    texts.push_back(one.get<std::string>());
  }
  return true;
}

}  // namespace

std::string BodyFields::text(const std::string& key) const {
  const auto found = texts.find(key);
  return found == texts.end() || found->second.size() != 1 ? std::string() : found->second.front();
}

std::optional<double> BodyFields::number(const std::string& key) const {
  const auto found = numbers.find(key);
  return found == numbers.end() ? std::nullopt : std::optional(found->second);
}

std::optional<bool> BodyFields::is_on(const std::string& key) const {
  const auto found = switches.find(key);
  return found == switches.end() ? std::nullopt : std::optional(found->second);
}

Result<BodyFields> fields_of(const WebRequest& request, FieldNames texts, FieldNames numbers, FieldNames switches) {
  const auto body = nlohmann::json::parse(request.body, nullptr, false);
  if (body.is_discarded()) return wrong("the body is not JSON", request.path);
  if (!body.is_object()) return wrong("the body is no object of fields", request.path);
  BodyFields fields;
  for (const auto& [key, value] : body.items()) {
    const bool a_text = is_among(texts, key), a_number = is_among(numbers, key), a_switch = is_among(switches, key);
    if (!a_text && !a_number && !a_switch) return wrong("there is no field of that name", key.substr(0, 80));
    bool fits = value.is_null();
    if (a_text && value.is_string()) {
      fields.texts[key] = {value.get<std::string>()};
      fits = true;
    } else if (a_text && value.is_array()) {
      fits = take_texts(value, fields.texts[key]);
    } else if (a_number && value.is_number()) {
      fields.numbers[key] = value.get<double>();
      fits = true;
    } else if (a_switch && value.is_boolean()) {
      fields.switches[key] = value.get<bool>();
      fits = true;
    }
    if (!fits) return wrong("a field is of the wrong kind", key);
  }
  return fields;
}

Result<std::string> text_of(const BodyFields& fields, const std::string& key) {
  const auto found = fields.texts.find(key);
  if (found == fields.texts.end() || found->second.size() != 1) return wrong("a field is missing, or no text", key);
  return found->second.front();
}

}  // namespace halfarc::server
