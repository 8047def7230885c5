#include <nlohmann/json.hpp>

#include "halfarc/app/clip_picture.h"
#include "halfarc/server/routes.h"

namespace halfarc::server {
namespace {

WebAnswer no_such(const std::string& id) {
  return error_answer(404, bad_input("there is no such recording", id, "read /api/recordings again"));
}

WebAnswer list(const ClipDesk& desk) {
  nlohmann::json recordings = nlohmann::json::array();
  for (const CheckedEntry& entry : desk.entries()) recordings.push_back(nlohmann::json::parse(recording_json(entry)));
  return json_answer(nlohmann::json{{"recordings", recordings}}.dump());
}

WebAnswer document(const Served& served, ClipDesk& desk, const WebRequest& request) {
  const auto clip = find_clip(served.watched, request.ids.front());
  return clip ? answer_of(desk.document(*clip)) : no_such(request.ids.front());
}

WebAnswer picture(const Served& served, const WebRequest& request) {
  const auto clip = find_clip(served.watched, request.ids.front());
  if (!clip) return no_such(request.ids.front());
  const auto width = request.number_asked("width", 640, 64, 2048);
  if (!width) return error_answer(width.error());
  Silent silent;
  WebAnswer answer = answer_of(clip_picture(clip->path, *width, served.threads, silent));
  if (answer.status == 200) answer.type = "image/png";
  return answer;
}

}  // namespace

void add_recording_routes(Router& router, Served& served, ClipDesk& desk) {
  router.add("GET", "/api/recordings", [&desk](const WebRequest&) { return list(desk); });
  router.add("GET", "/api/recordings/{}",
             [&served, &desk](const WebRequest& request) { return document(served, desk, request); });
  router.add("GET", "/api/recordings/{}/picture.png",
             [&served](const WebRequest& request) { return picture(served, request); });
}

}  // namespace halfarc::server
