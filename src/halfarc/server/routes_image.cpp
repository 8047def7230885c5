#include <nlohmann/json.hpp>

#include <fstream>
#include <iterator>
#include <map>

#include "halfarc/app/image_report.h"
#include "halfarc/app/image_shelf.h"
#include "halfarc/app/session_report.h"
#include "halfarc/server/routes.h"

namespace halfarc::server {
namespace {

using OfImage = std::function<WebAnswer(const ShelvedImage&, const WebRequest&)>;

Answer with_image(const Served& served, OfImage answer) {
  return [&served, answer = std::move(answer)](const WebRequest& request) {
    const auto image = find_image(served.home, request.ids.front());
    if (image) return answer(*image, request);
    return error_answer(404, bad_input("there is no such image", request.ids.front(), "read /api/images again"));
  };
}

WebAnswer list(const Served& served) {
  nlohmann::json images = nlohmann::json::array();
  for (const ShelvedImage& image : images_in(served.home)) {
    if (const auto summary = image_summary_json(image)) images.push_back(nlohmann::json::parse(*summary));
  }
  return json_answer(nlohmann::json{{"images", images}}.dump());
}

Result<std::string> view(const ShelvedImage& image, const WebRequest& request) {
  HALFARC_TRY(const int zoom, request.number_asked("zoom", 1, 1, 4));
  HALFARC_TRY(const int turn, request.number_asked("turn", 0, 0, 270));
  HALFARC_TRY(const int flip, request.number_asked("flip", 0, 0, 1));
  if (turn % 90 != 0)
    return Error{ErrorKind::usage, "a picture is turned by quarters", std::to_string(turn), "say 0, 90, 180 or 270"};
  ScreenView form;
  form.zoom = zoom;
  form.turn = turn;
  form.flip = flip == 1;
  const std::string part = request.asked("part");
  return image_view(image, part.empty() ? "image" : part, form);
}

std::string type_of(const std::string& form) {
  return form == "png" ? "image/png" : form == "tif" ? "image/tiff" : "application/fits";
}

// The name is made of letters, digits, '-' and '_' only, or it would not be on the shelf's own making; a quote in one
// that the owner put there must not end the field.
std::string attached(std::string name) {
  std::erase_if(name, [](char c) { return c == '"' || c == '\\' || static_cast<unsigned char>(c) < 0x20; });
  return "attachment; filename=\"" + name + "\"";
}

WebAnswer file(const ShelvedImage& image, const WebRequest& request) {
  const std::string form = request.asked("format");
  const auto path = image_file(image, form);
  if (!path) return error_answer(path.error());
  WebAnswer answer;
  std::ifstream in(*path, std::ios::binary);
  answer.body.assign(std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>());
  if (!in || answer.body.empty()) return error_answer(failed("cannot be read", path->filename().string(), "try again"));
  answer.type = type_of(form);
  answer.fields.emplace_back("Content-Disposition", attached(path->filename().string()));
  return answer;
}

// A page to keep and print; it is handed over as a file, because it is white.
WebAnswer kept_as(const std::string& name, const std::string& form, WebAnswer text) {
  if (text.status != 200) return text;
  static const std::map<std::string, const char*> types{{"html", "text/html; charset=utf-8"},
                                                        {"svg", "image/svg+xml"},
                                                        {"txt", "text/plain; charset=utf-8"},
                                                        {"json", "application/json"}};
  text.type = types.at(form);
  text.fields.emplace_back("Content-Disposition", attached(name + "." + form));
  return text;
}

WebAnswer no_such_form(const std::string& form, const char* forms) {
  return error_answer({ErrorKind::usage, "a report has no such form", form, std::string("ask for ") + forms});
}

std::string form_of(const WebRequest& request) {
  return request.asked("format").empty() ? "html" : request.asked("format");
}

WebAnswer night_report(const Served& served, const WebRequest& request) {
  const std::string form = form_of(request);
  if (form != "html" && form != "txt" && form != "json") return no_such_form(form, "html, txt or json");
  Silent silent;
  const auto session = session_report({served.home, request.asked("night"), served.threads}, silent);
  if (!session) return error_answer(session.error());
  return kept_as("night-" + session->date, form, answer_of(session_as(form, *session)));
}

WebAnswer report_of_image(const Served& served, const WebRequest& request) {
  const std::string id = request.asked("image");
  const auto image = find_image(served.home, id);
  if (!image) return error_answer(404, bad_input("there is no such image", id, "read /api/images again"));
  const std::string form = form_of(request);
  if (form != "html" && form != "svg" && form != "txt" && form != "json")
    return no_such_form(form, "html, svg, txt or json");
  std::optional<sky::Body> target;
  if (const std::string name = request.asked("target"); !name.empty()) {
    const auto body = sky::parse_body(name);
    if (!body) return error_answer(body.error());
    target = *body;
  }
  return kept_as(image->name + "-report", form, answer_of(image_report(served.home, image->fits, form, target)));
}

WebAnswer report(const Served& served, const WebRequest& request) {
  const bool of_night = !request.asked("night").empty(), of_image = !request.asked("image").empty();
  if (of_night && of_image)
    return error_answer({ErrorKind::usage, "a report is of a night or of an image", "night", "leave out one of them"});
  return of_night ? night_report(served, request) : report_of_image(served, request);
}

}  // namespace

void add_image_routes(Router& router, Served& served) {
  router.add("GET", "/api/images", [&served](const WebRequest&) { return list(served); });
  router.add("GET", "/api/images/{}", with_image(served, [](const ShelvedImage& image, const WebRequest&) {
               return answer_of(image_document(image));
             }));
  router.add("GET", "/api/images/{}/view.png",
             with_image(served, [](const ShelvedImage& image, const WebRequest& request) {
               WebAnswer answer = answer_of(view(image, request));
               if (answer.status == 200) answer.type = "image/png";
               return answer;
             }));
  router.add("GET", "/api/images/{}/file", with_image(served, file));
  router.add("GET", "/api/report", [&served](const WebRequest& request) { return report(served, request); });
}

}  // namespace halfarc::server
