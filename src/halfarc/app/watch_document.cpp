#include "halfarc/app/watch_document.h"

#include <nlohmann/json.hpp>

#include "halfarc/app/check_document.h"

namespace halfarc {
namespace {

using nlohmann::json;

std::string line(json j, Utc utc) {
  j["schema"] = "halfarc.watch/1";
  j["utc"] = utc.iso(3);
  return j.dump(-1, ' ', false, json::error_handler_t::replace) + "\n";
}

}  // namespace

std::string watch_check_json(const ClipCheck& check, Utc utc) {
  return line({{"path", check.recording.path.string()}, {"check", json::parse(check_json({&check, 1}))}}, utc);
}

std::string watch_error_json(const std::filesystem::path& path, const Error& error, Utc utc) {
  const json told = {{"what", error.what}, {"where", error.where}, {"to_do", error.to_do}};
  return line({{"path", path.string()}, {"error", told}}, utc);
}

std::string watch_said_json(const std::string& said, Utc utc) { return line({{"said", said}}, utc); }

}  // namespace halfarc
