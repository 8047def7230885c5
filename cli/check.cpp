// halfarc check CLIP...
#include <memory>
#include <string>
#include <vector>

#include "clip_options.h"
#include "commands.h"
#include "halfarc/app/check_document.h"
#include "halfarc/app/check_words.h"
#include "keep.h"

namespace halfarc::cli {
namespace {

struct Options {
  std::vector<std::string> clips;
  ClipWords words;
  bool no_log = false;
};

Result<void> check(const Options& options, Context& context) {
  HALFARC_TRY(const CheckOptions how, clip_options(options.words, context.threads));
  std::vector<ClipCheck> checks;
  for (const std::string& clip : options.clips) {
    HALFARC_TRY(ClipCheck one, check_clip(clip, how, *context.progress));
    if (!context.json) HALFARC_CHECK(context.print(check_words(one)));
    keep_clip_in_log(options.no_log, one);  // before the next clip, whose advice rests on it
    checks.push_back(std::move(one));
  }
  if (context.json) HALFARC_CHECK(context.print(check_json(checks)));
  return {};
}

}  // namespace

void add_check(CLI::App& app, Context& context) {
  const auto options = std::make_shared<Options>();
  CLI::App* command = add_command(app, context, "check", "Say what short recordings show, and what to do about it.",
                                  "  halfarc check mars.ser\n"
                                  "  halfarc check mars.ser --scale 0.175 --json\n"
                                  "  halfarc check collimate-3.ser --as star\n",
                                  [options](Context& c) { return check(*options, c); });
  command->add_option("CLIP", options->clips, "A recording: a file or a folder")->required();
  add_clip_options(*command, options->words);
  add_no_log_flag(*command, options->no_log);
  add_json_flag(*command, context);
}

}  // namespace halfarc::cli
