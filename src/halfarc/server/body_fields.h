// BodyFields: the body of a write, an object of a few texts, lists of texts, numbers and switches.
#pragma once

#include <initializer_list>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "halfarc/base/result.h"
#include "halfarc/server/exchange.h"

namespace halfarc::server {

struct BodyFields {
  std::map<std::string, std::vector<std::string>> texts;  // a text is a list of one
  std::map<std::string, double> numbers;
  std::map<std::string, bool> switches;

  std::string text(const std::string& key) const;  // empty when it is not there
  std::optional<double> number(const std::string& key) const;
  std::optional<bool> is_on(const std::string& key) const;
};

// The fields that a body may have, by their kind; one that is null counts as not there. Errors (usage): not JSON, not
// an object, a field of another name or kind.
using FieldNames = std::initializer_list<std::string_view>;
Result<BodyFields> fields_of(const WebRequest& request, FieldNames texts, FieldNames numbers = {},
                             FieldNames switches = {});

// The text of a field that must be there. Errors (usage): it is not, or is no single text.
Result<std::string> text_of(const BodyFields& fields, const std::string& key);

}  // namespace halfarc::server
