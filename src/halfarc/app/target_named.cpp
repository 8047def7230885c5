#include "halfarc/app/target_named.h"

#include <cctype>
#include <string>
#include <string_view>

namespace halfarc {
namespace {

std::optional<sky::Body> body_among_words(std::string_view text) {
  std::string word;
  const auto body_of_word = [&]() -> std::optional<sky::Body> {
    const auto body = sky::parse_body(word);
    if (!body || name_of(*body).size() != word.size() || *body == sky::Body::sun) return std::nullopt;
    return *body;
  };
  for (const char c : text) {
    if (std::isalpha(static_cast<unsigned char>(c)) != 0) {
      word.push_back(c);
      continue;
    }
    if (const auto body = body_of_word()) return body;
    word.clear();
  }
  return body_of_word();
}

}  // namespace

std::optional<sky::Body> target_named(const RecordingInfo& info) {
  if (const auto body = body_among_words(info.object)) return body;
  return body_among_words(info.path.filename().string());
}

}  // namespace halfarc
