#include "halfarc/server/exchange.h"

#include <nlohmann/json.hpp>

#include <charconv>

namespace halfarc::server {
namespace {

std::string first_of(const std::multimap<std::string, std::string>& all, const std::string& key) {
  const auto found = all.find(key);
  return found == all.end() ? std::string() : found->second;
}

std::string without_controls(std::string text) {
  for (char& c : text) {
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) c = ' ';
  }
  return text;
}

}  // namespace

std::string WebRequest::field(const std::string& name) const { return first_of(fields, name); }

std::string WebRequest::asked(const std::string& key) const { return first_of(query, key); }

std::vector<std::string> WebRequest::all_asked(const std::string& key) const {
  std::vector<std::string> values;
  const auto [first, last] = query.equal_range(key);
  for (auto it = first; it != last; ++it) {
    if (!it->second.empty()) values.push_back(it->second);
  }
  return values;
}

Result<int> WebRequest::number_asked(const std::string& key, int usual, int least, int most) const {
  const std::string text = asked(key);
  if (text.empty()) return usual;
  int value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error == std::errc() && end == text.data() + text.size() && value >= least && value <= most) return value;
  return Error{ErrorKind::usage, "this is no number that " + key + " can be", text,
               "give a whole number from " + std::to_string(least) + " to " + std::to_string(most)};
}

bool from_loopback(const WebRequest& request) { return request.from.starts_with("127.") || request.from == "::1"; }

WebAnswer json_answer(std::string document, int status) {
  WebAnswer answer;
  answer.status = status;
  answer.body = std::move(document);
  return answer;
}

WebAnswer ok_answer() { return json_answer(R"({"ok":true})"); }

WebAnswer error_answer(int status, const Error& error) {
  const nlohmann::json document{{"error",
                                 {{"what", without_controls(error.what)},
                                  {"where", without_controls(error.where)},
                                  {"to_do", without_controls(error.to_do)}}}};
  // Whatever bytes a file's name holds, the document is UTF-8.
  return json_answer(document.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace), status);
}

int status_of(ErrorKind kind) {
  switch (kind) {
    case ErrorKind::usage:
      return 400;
    case ErrorKind::bad_input:
      return 422;
    case ErrorKind::refused:
      return 403;
    case ErrorKind::cancelled:
    case ErrorKind::failed:
      break;
  }
  return 500;
}

WebAnswer answer_of(const Result<std::string>& document) {
  return document ? json_answer(*document) : error_answer(document.error());
}

}  // namespace halfarc::server
