// halfarc simulate SCENE.toml -o RECORDING.fits
#include <fmt/format.h>

#include <memory>
#include <string>

#include "commands.h"
#include "halfarc/app/simulate_recording.h"
#include "halfarc/simulate/shot_file.h"

namespace halfarc::cli {
namespace {

struct Options {
  std::string scene;
  std::string recording;
};

Result<void> simulate(const Options& options, Context& context) {
  HALFARC_TRY(const ShotSpec shot, read_shot_file(options.scene));
  HALFARC_TRY(const SimulatedFiles files,
              simulate_to_files(shot, options.recording, context.threads, *context.progress));
  return context.print(fmt::format("{} frames: {}\nthe truth: {}\nthe shot:  {}\n", files.frames,
                                   files.recording.string(), files.truth_path.string(), files.shot_path.string()));
}

}  // namespace

void add_simulate(CLI::App& app, Context& context) {
  const auto options = std::make_shared<Options>();
  CLI::App* command = add_command(app, context, "simulate", "A physical recording of an invented body, with its truth.",
                                  "  halfarc simulate examples/scenes/ruddy-disc.toml -o ruddy.fits\n",
                                  [options](Context& c) { return simulate(*options, c); });
  command->add_option("SCENE", options->scene, "The shot, in TOML; every key has a default")->required();
  command->add_option("-o,--output", options->recording, "The recording, a FITS cube")
      ->required()
      ->type_name("RECORDING.fits");
}

}  // namespace halfarc::cli
