#include <nlohmann/json.hpp>

#include "halfarc/app/log_asked.h"
#include "halfarc/server/body_fields.h"
#include "halfarc/server/routes.h"

namespace halfarc::server {
namespace {

Result<std::string> turned(Served& served, const WebRequest& request) {
  HALFARC_TRY(const BodyFields fields, fields_of(request, {"control", "amount"}));
  HALFARC_TRY(const std::string control, text_of(fields, "control"));
  HALFARC_TRY(const std::string amount, text_of(fields, "amount"));
  HALFARC_TRY(const std::string words, turned_asked(served.home, control, amount, Utc::now()));
  served.events.publish("log", R"({"what":"turned"})");
  return nlohmann::json{{"ok", true}, {"words", words}}.dump();
}

}  // namespace

void add_hand_routes(Router& router, Served& served, ClipDesk& desk) {
  router.add("GET", "/api/step", [&desk](const WebRequest&) {
    const ClipDesk::Night night = desk.last_night();
    return json_answer(step_card_json(night.date, night.entries));
  });
  router.add("POST", "/api/turned",
             [&served](const WebRequest& request) { return answer_of(turned(served, request)); });
}

}  // namespace halfarc::server
