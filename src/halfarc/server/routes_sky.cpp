#include "halfarc/app/asked.h"
#include "halfarc/app/budget_document.h"
#include "halfarc/app/clip_shelf.h"
#include "halfarc/app/plan_document.h"
#include "halfarc/app/train_document.h"
#include "halfarc/app/train_drawing.h"
#include "halfarc/app/where_document.h"
#include "halfarc/server/routes.h"

namespace halfarc::server {
namespace {

Result<std::string> tonight(const Served& served, const WebRequest& request) {
  PlanWords words;
  words.date = request.asked("date");
  words.targets = request.all_asked("target");
  HALFARC_TRY(const NightPlan plan, plan_asked(served.asker(), words));
  return plan_json(plan);
}

Result<std::string> where(const Served& served, const WebRequest& request) {
  WhereWords words;
  words.target = request.asked("target");
  words.at = request.asked("at");
  HALFARC_TRY(const Whereabouts found, where_asked(served.asker(), words));
  return where_json(found);
}

Result<TrainAnswer> train(const Served& served, const WebRequest& request) {
  TrainWords words;
  words.target = request.asked("target");
  words.at = request.asked("at");
  words.add = request.all_asked("add");
  words.remove = request.all_asked("remove");
  return train_asked(served.asker(), words);
}

Result<std::string> budget(const Served& served, const WebRequest& request) {
  BudgetWords words;
  words.target = request.asked("target");
  words.at = request.asked("at");
  words.threads = served.threads;
  for (const std::string& id : request.all_asked("run")) {
    const auto clip = find_clip(served.watched, id);
    if (!clip) return bad_input("there is no such recording", id, "see /api/recordings");
    words.runs.push_back(clip->path);
  }
  words.add = request.all_asked("add");
  words.remove = request.all_asked("remove");
  if (!words.runs.empty() && !(words.add.empty() && words.remove.empty()))
    return Error{ErrorKind::usage, "a recording cannot tell of another train", "run",
                 "leave out the run or the change"};
  Silent silent;
  HALFARC_TRY(const BlurBudget made, budget_asked(served.asker(), words, silent));
  return budget_json(made);
}

}  // namespace

void add_sky_routes(Router& router, Served& served) {
  router.add("GET", "/api/tonight", [&](const WebRequest& request) { return answer_of(tonight(served, request)); });
  router.add("GET", "/api/where", [&](const WebRequest& request) { return answer_of(where(served, request)); });
  router.add("GET", "/api/budget", [&](const WebRequest& request) { return answer_of(budget(served, request)); });
  router.add("GET", "/api/train", [&](const WebRequest& request) {
    const auto answer = train(served, request);
    return answer ? json_answer(train_json(*answer)) : error_answer(answer.error());
  });
  router.add("GET", "/api/train.svg", [&](const WebRequest& request) {
    const auto answer = train(served, request);
    if (!answer) return error_answer(answer.error());
    WebAnswer drawing = json_answer(train_drawing(*answer));
    drawing.type = "image/svg+xml";
    return drawing;
  });
}

}  // namespace halfarc::server
