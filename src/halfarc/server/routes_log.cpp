#include "halfarc/app/log_asked.h"
#include "halfarc/server/body_fields.h"
#include "halfarc/server/routes.h"

namespace halfarc::server {
namespace {

Result<std::string> note(Served& served, const WebRequest& request) {
  HALFARC_TRY(const BodyFields fields, fields_of(request, {"text"}));
  HALFARC_TRY(const std::string text, text_of(fields, "text"));
  HALFARC_CHECK(note_asked(served.home, text, Utc::now()));
  served.events.publish("log", R"({"what":"note"})");
  return std::string(R"({"ok":true})");
}

WebAnswer one_night(const Served& served, const std::string& night) {
  const auto document = log_night_asked(served.home, night);
  return document ? json_answer(*document) : error_answer(404, document.error());
}

WebAnswer exported(const Served& served, const WebRequest& request) {
  const std::string form = request.asked("format");
  if (form != "json" && form != "csv")
    return error_answer({ErrorKind::usage, "the logbook has no such form", form, "ask for json or csv"});
  WebAnswer answer = answer_of(log_export_asked(served.home, form == "csv"));
  if (answer.status != 200) return answer;
  if (form == "csv") answer.type = "text/csv; charset=utf-8";
  answer.fields.emplace_back("Content-Disposition", "attachment; filename=\"halfarc-logbook." + form + "\"");
  return answer;
}

}  // namespace

void add_log_routes(Router& router, Served& served) {
  router.add("GET", "/api/log", [&served](const WebRequest& request) {
    return answer_of(log_list_asked(served.home, request.asked("search")));
  });
  router.add("GET", "/api/log/trends",
             [&served](const WebRequest&) { return answer_of(log_trends_asked(served.home)); });
  router.add("GET", "/api/log/export", [&served](const WebRequest& request) { return exported(served, request); });
  router.add("GET", "/api/log/{}",
             [&served](const WebRequest& request) { return one_night(served, request.ids.front()); });
  router.add("POST", "/api/notes", [&served](const WebRequest& request) { return answer_of(note(served, request)); });
}

}  // namespace halfarc::server
