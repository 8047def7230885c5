// halfarc rehearse [-o DIR]
#include "halfarc/app/rehearse.h"

#include <memory>
#include <string>

#include "commands.h"

namespace halfarc::cli {
namespace {

struct Options {
  std::string folder = "rehearsal";
  std::uint64_t seed = 1;
  std::size_t frames = 1000;
};

Result<void> rehearse_night(const Options& options, Context& context) {
  HALFARC_TRY(const Rehearsal night,
              rehearse({options.folder, options.seed, options.frames, context.threads}, *context.progress));
  return context.print(rehearsal_words(night));
}

}  // namespace

void add_rehearse(CLI::App& app, Context& context) {
  const auto options = std::make_shared<Options>();
  CLI::App* command =
      add_command(app, context, "rehearse", "Play a small simulated night and make its images.",
                  "  halfarc rehearse -o tonight\n", [options](Context& c) { return rehearse_night(*options, c); });
  command->add_option("-o,--output", options->folder, "Folder for the recordings and images (default: rehearsal)")
      ->type_name("DIR");
  command->add_option("--seed", options->seed, "Another number, another night (default 1)")->type_name("N");
  command->add_option("--frames", options->frames, "Frames in each run (default 1000)")
      ->check(CLI::Range(100, 100000))
      ->type_name("N");
}

}  // namespace halfarc::cli
