#include <nlohmann/json.hpp>

#include "halfarc/app/init_home.h"
#include "halfarc/app/owner_file.h"
#include "halfarc/server/body_fields.h"
#include "halfarc/server/routes.h"

namespace halfarc::server {
namespace {

Result<std::string> read(const Served& served, OwnerFile file) {
  HALFARC_TRY(const OwnerText found, read_owner_file(served.home, file));
  const nlohmann::json document{{"text", found.text}, {"exists", found.exists}};
  return document.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
}

void tell(Served& served, const std::string& what) {
  served.events.publish("log", nlohmann::json{{"what", what}}.dump());
}

Result<std::string> write(Served& served, OwnerFile file, const std::string& name, const WebRequest& request) {
  HALFARC_TRY(const BodyFields fields, fields_of(request, {"text"}));
  HALFARC_TRY(const std::string text, text_of(fields, "text"));
  HALFARC_CHECK(replace_owner_file(served.home, file, text, Utc::now()));
  tell(served, name);
  return std::string(R"({"ok":true})");
}

Result<std::string> init(Served& served, const WebRequest& request) {
  HALFARC_TRY(const BodyFields fields, fields_of(request, {"telescope", "site", "name"}));
  HALFARC_TRY(const std::string telescope, text_of(fields, "telescope"));
  HALFARC_TRY(const InitRequest init, init_asked(served.home, telescope, fields.text("site"), fields.text("name")));
  HALFARC_TRY(const auto written, init_home(init));
  nlohmann::json names = nlohmann::json::array();
  for (const auto& path : written) names.push_back(path.filename().string());
  tell(served, "site");
  tell(served, "rig");
  return nlohmann::json{{"ok", true}, {"written", names}}.dump();
}

}  // namespace

void add_file_routes(Router& router, Served& served) {
  const std::pair<OwnerFile, std::string> files[] = {
      {OwnerFile::site, "site"}, {OwnerFile::rig, "rig"}, {OwnerFile::horizon, "horizon"}};
  for (const auto& [file, name] : files) {
    router.add("GET", "/api/" + name,
               [&served, file = file](const WebRequest&) { return answer_of(read(served, file)); });
    router.add("PUT", "/api/" + name, [&served, file = file, name = name](const WebRequest& request) {
      return answer_of(write(served, file, name, request));
    });
  }
  router.add("POST", "/api/init", [&served](const WebRequest& request) { return answer_of(init(served, request)); });
}

}  // namespace halfarc::server
