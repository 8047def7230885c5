#include "halfarc/server/router.h"

#include <algorithm>

namespace halfarc::server {
namespace {

bool is_id(const std::string& part) {
  const auto allowed = [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
  };
  return !part.empty() && part.size() <= 80 && std::all_of(part.begin(), part.end(), allowed);
}

bool fits(const std::vector<std::string>& pattern, const std::vector<std::string>& path,
          std::vector<std::string>& ids) {
  if (pattern.size() != path.size()) return false;
  ids.clear();
  for (std::size_t i = 0; i < path.size(); ++i) {
    if (pattern[i] == "{}" && is_id(path[i])) {
      ids.push_back(path[i]);
    } else if (pattern[i] != path[i]) {
      return false;
    }
  }
  return true;
}

}  // namespace

std::vector<std::string> parts_of(const std::string& path) {
  std::vector<std::string> parts;
  std::size_t at = path.starts_with('/') ? 1 : 0;
  while (at <= path.size()) {
    const std::size_t end = std::min(path.find('/', at), path.size());
    parts.push_back(path.substr(at, end - at));
    at = end + 1;
  }
  return parts;
}

void Router::add(std::string method, std::string pattern, Answer answer) {
  routes_.push_back({std::move(method), parts_of(pattern), std::move(answer)});
}

WebAnswer Router::route(WebRequest request) const {
  const std::vector<std::string> path = parts_of(request.path);
  const std::string method = request.method == "HEAD" ? "GET" : request.method;
  bool known = false;
  for (const Route& route : routes_) {
    if (!fits(route.parts, path, request.ids)) continue;
    if (route.method == method) return route.answer(request);
    known = true;
  }
  if (known)
    return error_answer(405,
                        {ErrorKind::usage, "that cannot be done here", request.method, "see docs/contracts/http.md"});
  return error_answer(404, {ErrorKind::usage, "there is nothing at this address", request.path, "open the page at /"});
}

}  // namespace halfarc::server
