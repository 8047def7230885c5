// halfarc rehearse [-o DIR] [--seed N] [--short] [--live] [--pace X]
#include "halfarc/app/rehearse.h"

#include <memory>
#include <string>

#include "commands.h"
#include "halfarc/app/live_pace.h"
#include "here.h"

namespace halfarc::cli {
namespace {

struct Options {
  std::string folder = "rehearsal";
  std::uint64_t seed = 1;
  bool is_short = false;
  bool tiny = false;
  bool live = false;
  double pace = 1.0;
  double patience_s = 180.0;
};

Result<void> rehearse_night(const Options& options, Context& context) {
  PlayOptions play;
  play.folder = options.folder;
  play.seed = options.seed;
  play.size = options.tiny ? NightSize::tiny : options.is_short ? NightSize::brief : NightSize::full;
  play.threads = context.threads;
  play.tell = [&](const std::string& line) { return context.print(line); };
  if (options.live) {
    play.pace = real_pace(options.pace);
    Patience patience;
    patience.first = Duration::s(options.patience_s);
    play.turns = turns_of_logbook(home_of_owner() / "logbook.db", patience, real_pause(*context.progress));
  }
  HALFARC_TRY(const Rehearsal rehearsal, rehearse(whole_night(), play, *context.progress));
  return context.print("\n" + rehearsal_words(rehearsal));
}

}  // namespace

void add_rehearse(CLI::App& app, Context& context) {
  const auto options = std::make_shared<Options>();
  CLI::App* command = add_command(app, context, "rehearse", "Play a whole simulated night and make its images.",
                                  "  halfarc rehearse -o tonight --short\n",
                                  [options](Context& c) { return rehearse_night(*options, c); });
  command->add_option("-o,--output", options->folder, "Folder for the recordings and images (default: rehearsal)")
      ->type_name("DIR");
  command->add_option("--seed", options->seed, "Another number, another telescope and night (default 1)")
      ->type_name("N");
  CLI::Option* brief = command->add_flag("--short", options->is_short, "Short recordings: a minute or two in all");
  command->add_flag("--tiny", options->tiny, "Coarse pixels and a few frames: the whole way in seconds")
      ->excludes(brief);
  CLI::Option* live = command->add_flag(
      "--live", options->live, "Record at the pace of a real night, and answer to what `halfarc turned` notes");
  command->add_option("--pace", options->pace, "With --live: so many times as fast (default 1)")
      ->check(CLI::Range(0.1, 1000.0))
      ->needs(live)
      ->type_name("X");
  command
      ->add_option("--patience", options->patience_s,
                   "With --live: seconds to wait for your hand after a practice clip (default 180)")
      ->check(CLI::Range(1.0, 3600.0))
      ->needs(live)
      ->type_name("S");
}

}  // namespace halfarc::cli
