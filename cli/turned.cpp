// halfarc turned CONTROL AMOUNT...
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <memory>
#include <string>
#include <vector>

#include "commands.h"
#include "halfarc/app/keep_log.h"
#include "halfarc/app/log_document.h"
#include "halfarc/app/turn_moment.h"
#include "halfarc/app/when.h"
#include "here.h"

namespace halfarc::cli {
namespace {

struct Options {
  std::string control;
  std::vector<std::string> amount;
  std::string at = "now";
  bool undo = false;
};

Result<void> undo(Context& context) {
  HALFARC_TRY(OwnerLog log, open_owner_log(home_of_owner()));
  HALFARC_TRY(const auto turn, take_back_turn(log.database));
  if (!turn) return bad_input("no turn was noted that could be taken back");
  return context.print(context.json ? taken_back_json(*turn) : taken_back_words(*turn));
}

Result<void> turned(const Options& options, Context& context) {
  if (options.undo) {
    if (options.control.empty()) return undo(context);
    return Error{ErrorKind::usage, "--undo takes back what was noted last, and nothing else", "turned",
                 "leave out the control"};
  }
  if (options.control.empty() || options.amount.empty())
    return Error{ErrorKind::usage, "say what was turned and how far", "turned", "like: halfarc turned screw-b 1/8 cw"};
  HALFARC_TRY(const Control control, control_named(options.control));
  HALFARC_TRY(const Turned what, parse_turned(control, fmt::format("{}", fmt::join(options.amount, " "))));
  HALFARC_TRY(Utc at, parse_when(options.at, Utc::now()));
  HALFARC_TRY(OwnerLog log, open_owner_log(home_of_owner()));
  if (options.at == "now") {
    HALFARC_TRY(at, moment_of_turn(log, at));
  }
  HALFARC_TRY(const TurnRow turn, keep_turn(log, what, at));
  return context.print(context.json ? turned_json(turn) : turned_words(turn));
}

}  // namespace

void add_turned(CLI::App& app, Context& context) {
  const auto options = std::make_shared<Options>();
  CLI::App* command =
      add_command(app, context, "turned", "Note what the hand did, so that the next reading teaches what it does.",
                  "  halfarc turned screw-b 1/8 cw\n"
                  "  halfarc turned levers -3.5 marks\n"
                  "  halfarc turned focus 0.25 turn ccw --at 21:04\n"
                  "  halfarc turned --undo\n",
                  [options](Context& c) { return turned(*options, c); });
  std::string controls;
  for (const Control one : every_control) controls += (controls.empty() ? "" : ", ") + std::string(name_of(one));
  command->add_option("CONTROL", options->control, "What was turned: " + controls);
  command->add_option("AMOUNT", options->amount, "How far, as people say it");
  command->add_option("--at", options->at, "When, in UTC (default: now)")->type_name("UTC");
  command->add_flag("--undo", options->undo, "Take back what was noted last");
  add_json_flag(*command, context);
}

}  // namespace halfarc::cli
