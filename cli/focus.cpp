// halfarc focus CLIP@POSITION...
#include <memory>
#include <string>
#include <vector>

#include "commands.h"
#include "halfarc/app/find_focus.h"
#include "halfarc/app/focus_document.h"
#include "halfarc/app/keep_log.h"
#include "halfarc/app/logged_adviser.h"
#include "here.h"
#include "keep.h"

namespace halfarc::cli {
namespace {

struct Options {
  std::vector<std::string> clips;
  double scale = 0.0;
  bool no_log = false;
};

Result<void> focus(const Options& options, Context& context) {
  std::vector<FocusAsk> asks;
  for (const std::string& words : options.clips) {
    HALFARC_TRY(FocusAsk ask, parse_focus_ask(words));
    asks.push_back(std::move(ask));
  }
  FocusOptions how;
  HALFARC_TRY(auto owned, rig_of_owner());
  how.rig_known = owned.has_value();
  if (owned) {
    how.rig = std::move(owned->rig);
    how.train = std::move(owned->train);
  } else {
    how.rig = example_rig();
    HALFARC_TRY(how.train, solve(how.rig));
  }
  if (options.scale > 0.0) how.scale = PlateScale::arcsec_per_px(options.scale);
  how.threads = context.threads;
  HALFARC_TRY(const FoundFocus found, find_focus(std::move(asks), how, *context.progress));
  HALFARC_CHECK(context.print(context.json ? focus_json(found) : focus_words(found)));
  keep_in_log(options.no_log, [&](OwnerLog& log, Utc now) -> Result<void> {
    HALFARC_TRY(const Utc at, keep_focus(log, found, now));
    return how.rig_known ? learn_tonight(log, how.rig, how.train, at) : Result<void>();
  });
  return {};
}

}  // namespace

void add_focus(CLI::App& app, Context& context) {
  const auto options = std::make_shared<Options>();
  CLI::App* command = add_command(
      app, context, "focus", "Find best focus from clips at several positions of the knob.",
      "  halfarc focus a.ser@-1 b.ser@-0.75 c.ser@-0.5 d.ser@-0.25 e.ser@0 f.ser@0.25 g.ser@0.5 h.ser@0.75\n"
      "  halfarc focus a.ser@-0.5ccw b.ser@0ccw c.ser@0.5ccw d.ser@0.5cw e.ser@0cw f.ser@-0.5cw\n",
      [options](Context& c) { return focus(*options, c); });
  command
      ->add_option("CLIP@POSITION", options->clips,
                   "A recording and where the knob was, in turns, clockwise positive; cw or ccw after it tells how "
                   "the knob arrived")
      ->required();
  command->add_option("--scale", options->scale, "Arcseconds a pixel (default: that of rig.toml, else of the examples)")
      ->check(CLI::Range(0.01, 20.0))
      ->type_name("ARCSEC");
  add_no_log_flag(*command, options->no_log);
  add_json_flag(*command, context);
}

}  // namespace halfarc::cli
