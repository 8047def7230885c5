#include <nlohmann/json.hpp>

#include <cmath>

#include "halfarc/app/image_shelf.h"
#include "halfarc/app/live_pace.h"
#include "halfarc/app/rehearse.h"
#include "halfarc/server/body_fields.h"
#include "halfarc/server/page_hand.h"
#include "halfarc/server/routes.h"

namespace halfarc::server {
namespace {

// Who reads a card for the first time needs a while; a second screw follows within seconds.
constexpr Patience kPatience{Duration::minutes(10.0), Duration::s(4.0), Duration::s(0.25)};

WebAnswer accepted(const Result<std::string>& job) {
  if (job) return json_answer(nlohmann::json{{"job", *job}}.dump(), 202);
  if (job.error().kind != ErrorKind::refused) return error_answer(job.error());
  WebAnswer full = error_answer(429, job.error());
  full.fields.emplace_back("Retry-After", "30");
  return full;
}

Result<std::string> make(Served& served, const WebRequest& request) {
  HALFARC_TRY(const BodyFields fields,
              fields_of(request, {"runs", "target", "detail", "name"}, {"north_deg", "keep_percent"}));
  ImageWish wish;
  const auto runs = fields.texts.find("runs");
  if (runs == fields.texts.end() || runs->second.empty())
    return Error{ErrorKind::usage, "no run was named", "runs", "name one or more recordings"};
  std::string names;
  for (const std::string& id : runs->second) {
    const auto clip = find_clip(served.watched, id);
    if (!clip) return bad_input("there is no such recording", id, "read /api/recordings again");
    wish.runs.push_back(clip->path);
    names += (names.empty() ? "" : ", ") + clip->name;
  }
  if (!fields.text("detail").empty()) wish.detail = fields.text("detail");
  wish.keep_percent = fields.number("keep_percent").value_or(0.0);
  wish.name = fields.text("name");
  if (!fields.text("target").empty()) {
    HALFARC_TRY(wish.target, sky::parse_body(fields.text("target")));
    if (const auto north = fields.number("north_deg")) wish.north = Angle::deg(*north);
  }
  HALFARC_CHECK(check_wish(wish));
  return served.jobs.add("make", "An image of " + names, [&served, wish](Progress& progress) -> Result<JobOutcome> {
    HALFARC_TRY(const ShelvedImage image, make_for_shelf(served.home, wish, served.threads, progress));
    served.events.publish("log", R"({"what":"image"})");
    return JobOutcome{"Made " + image.name, image.id};
  });
}

Result<std::string> rehearsal(Served& served, const WebRequest& request) {
  HALFARC_TRY(const BodyFields fields, fields_of(request, {}, {}, {"short"}));
  return add_rehearsal(served, fields.is_on("short").value_or(true) ? NightSize::brief : NightSize::full);
}

WebAnswer list(const JobQueue& queue) {
  nlohmann::json jobs = nlohmann::json::array();
  for (const Job& job : queue.list()) jobs.push_back(nlohmann::json::parse(job_json(job)));
  return json_answer(nlohmann::json{{"jobs", jobs}}.dump());
}

WebAnswer stop(JobQueue& queue, const std::string& id) {
  switch (queue.stop(id)) {
    case JobQueue::Stop::asked:
      return ok_answer();
    case JobQueue::Stop::ended:
      return error_answer(409, {ErrorKind::usage, "the job has ended", id, "there is nothing to stop"});
    case JobQueue::Stop::unknown:
      break;
  }
  return error_answer(404, {ErrorKind::usage, "there is no such job", id, "read /api/jobs again"});
}

}  // namespace

Result<std::string> add_rehearsal(Served& served, NightSize size) {
  PlayOptions play;
  play.folder = served.watched;
  play.threads = served.threads;
  play.size = size;
  return served.jobs.add("rehearse", "A simulated night", [play, &served](Progress& progress) -> Result<JobOutcome> {
    PlayOptions live = play;
    live.every_clip_asks = true;  // the page advises on each
    live.turns = page_hand(served.home, kPatience, real_pause(progress));
    HALFARC_TRY([[maybe_unused]] const Rehearsal night, rehearse(whole_night(), live, progress));
    return JobOutcome{"The simulated night is over: its recordings are in the watched folder.", {}};
  });
}

void add_job_routes(Router& router, Served& served) {
  router.add("POST", "/api/make", [&served](const WebRequest& request) { return accepted(make(served, request)); });
  router.add("POST", "/api/rehearse",
             [&served](const WebRequest& request) { return accepted(rehearsal(served, request)); });
  router.add("GET", "/api/jobs", [&served](const WebRequest&) { return list(served.jobs); });
  router.add("DELETE", "/api/jobs/{}",
             [&served](const WebRequest& request) { return stop(served.jobs, request.ids.front()); });
}

}  // namespace halfarc::server
