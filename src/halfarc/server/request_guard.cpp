#include "halfarc/server/request_guard.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <string_view>

namespace halfarc::server {
namespace {

WebAnswer refusal(int status, std::string what, std::string where, std::string to_do) {
  return error_answer(status, Error{ErrorKind::refused, std::move(what), std::move(where), std::move(to_do)});
}

bool is_write(const WebRequest& request) { return request.method != "GET" && request.method != "HEAD"; }

bool host_is_ours(const WebRequest& request) {
  if (request.fields.count("host") != 1) return false;
  const std::string host = request.field("host");
  const auto is = [&](const std::string& name) {
    return host == name + ":" + std::to_string(request.port) || (request.port == 80 && host == name);
  };
  if (is(request.to)) return true;
  const bool on_loopback = request.to.starts_with("127.") || request.to == "::1";
  return on_loopback && (is("localhost") || is("[::1]"));
}

bool origin_is_ours(const WebRequest& request) {
  const auto count = request.fields.count("origin");
  return count == 0 || (count == 1 && request.field("origin") == "http://" + request.field("host"));
}

// "none" is what the owner typed or opened; "same-site" is another port of this machine, which is not ours.
bool browser_calls_it_ours(const WebRequest& request) {
  const std::string site = request.field("sec-fetch-site");
  if (site.empty() || site == "same-origin" || site == "none") return true;
  return !is_write(request) && !request.path.starts_with("/api/");
}

bool says_json(const WebRequest& request) {
  std::string type = request.field("content-type");
  type = type.substr(0, type.find(';'));
  while (type.ends_with(' ')) type.pop_back();
  std::transform(type.begin(), type.end(), type.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + ('a' - 'A')) : c; });
  return type == "application/json";
}

std::optional<WebAnswer> check_form(const WebRequest& request) {
  std::size_t length = request.path.size();
  for (const auto& [key, value] : request.query) length += key.size() + value.size() + 2;
  if (length > kLongestPath) return refusal(400, "the address is too long", "", "ask for less at once");
  for (const char* name : {"transfer-encoding", "content-encoding", "range", "expect"}) {
    if (request.fields.count(name) > 0)
      return refusal(400, "this server does not take such requests", name, "leave that field out");
  }
  static constexpr std::array<std::string_view, 5> methods{"GET", "HEAD", "POST", "PUT", "DELETE"};
  if (std::find(methods.begin(), methods.end(), request.method) == methods.end())
    return refusal(405, "there is no such method here", request.method, "see docs/contracts/http.md");
  return std::nullopt;
}

std::optional<WebAnswer> check_body(const WebRequest& request) {
  const std::string announced = request.field("content-length");
  std::size_t length = 0;
  if (!announced.empty()) {
    const char* last = announced.data() + announced.size();
    const auto [end, error] = std::from_chars(announced.data(), last, length);
    if (error == std::errc::result_out_of_range || (error == std::errc() && length > kMostBody))
      return refusal(413, "that is too much at once", announced + " bytes", "send at most 1 MiB");
    if (error != std::errc() || end != last || request.fields.count("content-length") != 1)
      return refusal(400, "the length of the body is no number", announced, "send the body's length in bytes");
  }
  const bool has_body = request.method == "POST" || request.method == "PUT" || length > 0;
  if (has_body && !says_json(request))
    return refusal(415, "a write must say that it is JSON", request.field("content-type"),
                   "send Content-Type: application/json");
  return std::nullopt;
}

bool open_to_all(const WebRequest& request) {
  if (request.method == "GET" || request.method == "HEAD")
    return request.path == "/" || request.path.starts_with("/assets/") || request.path == "/api/status";
  return request.method == "POST" && request.path == "/api/pair";
}

}  // namespace

std::string cookie_of(const WebRequest& request, const std::string& name) {
  const std::string cookies = request.field("cookie");
  std::size_t at = 0;
  while (at < cookies.size()) {
    const std::size_t end = std::min(cookies.find(';', at), cookies.size());
    const std::string_view one = std::string_view(cookies).substr(at, end - at);
    if (one.starts_with(name) && one.size() > name.size() && one[name.size()] == '=')
      return std::string(one.substr(name.size() + 1));
    at = end + 1;
    while (at < cookies.size() && cookies[at] == ' ') ++at;
  }
  return {};
}

bool is_trusted(const WebRequest& request, const IsPaired& is_paired) {
  if (from_loopback(request)) return true;
  const std::string token = cookie_of(request, kSessionCookie);
  return !token.empty() && is_paired(token);
}

std::optional<WebAnswer> guard(const WebRequest& request, const IsPaired& is_paired) {
  if (auto bad = check_form(request)) return bad;
  if (!host_is_ours(request))
    return refusal(403, "this server does not go by that name", request.field("host"),
                   "use the address that halfarc serve printed");
  if (!origin_is_ours(request) || !browser_calls_it_ours(request))
    return refusal(403, "another page asked for this", request.field("origin"), "open halfarc's own page");
  if (!open_to_all(request) && !is_trusted(request, is_paired))
    return refusal(403, "this device is not paired", "", "enter the code that halfarc serve --lan shows");
  return check_body(request);
}

}  // namespace halfarc::server
