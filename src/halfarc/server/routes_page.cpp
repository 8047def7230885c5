#include <nlohmann/json.hpp>

#include "halfarc/server/assets.h"
#include "halfarc/server/body_fields.h"
#include "halfarc/server/request_guard.h"
#include "halfarc/server/routes.h"

namespace halfarc::server {
namespace {

WebAnswer asset(const std::string& path) {
  const Asset* found = find_asset(path);
  if (found == nullptr)
    return error_answer(404, {ErrorKind::usage, "there is nothing at this address", path, "open the page at /"});
  WebAnswer answer;
  answer.type = std::string(found->type);
  answer.body = std::string(found->bytes);
  return answer;
}

bool has(const std::filesystem::path& file) {
  std::error_code ignored;
  return std::filesystem::exists(file, ignored);
}

WebAnswer status(const Served& served, const WebRequest& request) {
  nlohmann::json j{{"schema", "halfarc.status/1"}, {"version", served.version}, {"now_utc", Utc::now().iso()}};
  j["paired"] = is_trusted(request, [&](const std::string& token) { return served.pairing.knows(token); });
  if (j["paired"]) {
    j["home"] = served.home.string();
    j["watching"] = served.watched.string();
    j["has_site"] = has(served.home / "site.toml");
    j["has_rig"] = has(served.home / "rig.toml");
  }
  return json_answer(j.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace));
}

WebAnswer pair(Served& served, const WebRequest& request) {
  const auto fields = fields_of(request, {"code"});
  if (!fields) return error_answer(fields.error());
  const auto code = text_of(*fields, "code");
  if (!code) return error_answer(code.error());
  const auto attempt = served.pairing.attempt(*code, std::chrono::steady_clock::now());
  if (!attempt) return error_answer(attempt.error());
  if (attempt->verdict == Pairing::Verdict::wrong)
    return error_answer(403, {ErrorKind::refused, "that is not the code", "", "read it off the terminal again"});
  if (attempt->verdict == Pairing::Verdict::too_many) {
    const std::string wait = std::to_string(attempt->wait.count());
    WebAnswer answer =
        error_answer(429, {ErrorKind::refused, "too many wrong codes", "", "wait " + wait + " s and try again"});
    answer.fields.emplace_back("Retry-After", wait);
    return answer;
  }
  WebAnswer answer = ok_answer();
  answer.fields.emplace_back("Set-Cookie", std::string(kSessionCookie) + "=" + attempt->token +
                                               "; Path=/; Max-Age=7776000; HttpOnly; SameSite=Strict");
  return answer;
}

}  // namespace

void add_page_routes(Router& router, Served& served) {
  router.add("GET", "/", [](const WebRequest&) { return asset("/"); });
  for (const Asset& one : every_asset()) {
    const std::string path(one.path);
    if (path != "/") router.add("GET", path, [path](const WebRequest&) { return asset(path); });
  }
  router.add("GET", "/api/status", [&served](const WebRequest& request) { return status(served, request); });
  router.add("POST", "/api/pair", [&served](const WebRequest& request) { return pair(served, request); });
}

}  // namespace halfarc::server
