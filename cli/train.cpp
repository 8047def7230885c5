// halfarc train [--target T [--at UTC] [--site LAT,LON,HEIGHT]] [--add PART]... [--remove NAME]...
//               [--svg FILE] [--explain]
#include <memory>
#include <string>

#include "commands.h"
#include "halfarc/app/asked.h"
#include "halfarc/app/train_document.h"
#include "halfarc/app/train_drawing.h"
#include "halfarc/base/atomic_file.h"
#include "here.h"

namespace halfarc::cli {
namespace {

struct Options {
  TrainWords words;
  std::string svg;
  bool explain = false;
};

Result<void> train(const Options& options, Context& context) {
  HALFARC_TRY(const TrainAnswer answer, train_asked({home_of_owner(), Utc::now()}, options.words));
  if (!options.svg.empty()) HALFARC_CHECK(write_file(options.svg, train_drawing(answer)));
  if (context.json) return context.print(train_json(answer));
  return context.print(train_words(answer) + (options.explain ? explain_words(answer) : ""));
}

}  // namespace

void add_train(CLI::App& app, Context& context) {
  const auto options = std::make_shared<Options>();
  CLI::App* command =
      add_command(app, context, "train", "What the train behind the telescope does, and what a part changes.",
                  "  halfarc train\n"
                  "  halfarc train --add kind=spacer,name=extension,length_mm=25.4\n"
                  "  halfarc train --remove amplifier --explain\n"
                  "  halfarc train --svg train.svg\n"
                  "  halfarc train --target jupiter --at \"25 Nov 2026 21:04\" --json\n",
                  [options](Context& c) { return train(*options, c); });
  CLI::Option* target =
      command->add_option("--target", options->words.target, "Moon, Mercury ... Neptune: what the train makes of it");
  command->add_option("--at", options->words.at, "Date and time, UTC (default: now)")->type_name("UTC")->needs(target);
  command->add_option("--site", options->words.site, "Place of the telescope (default: that of site.toml, see init)")
      ->type_name("LAT,LON,HEIGHT")
      ->needs(target);
  command->add_option("--region", options->words.region, "Of the sensor, to record (default: one that holds the disc)")
      ->type_name("WIDTHxHEIGHT")
      ->needs(target);
  command->add_option("--peak", options->words.peak_percent, "Of the histogram, to aim at (default 75)")
      ->check(CLI::Range(5.0, 100.0))
      ->type_name("PERCENT")
      ->needs(target);
  command->add_option("--seeing", options->words.seeing_arcsec, "Width of a star at the zenith (default 1.3)")
      ->check(CLI::Range(0.2, 20.0))
      ->type_name("ARCSEC")
      ->needs(target);
  command
      ->add_option("--add", options->words.add,
                   "Put a part in: its keys of rig.toml, and at=NUMBER or at=NAME of the part it goes before "
                   "(default: the camera). Again for another")
      ->type_name("KEY=VALUE,...")
      ->expected(1)
      ->take_all();
  command->add_option("--remove", options->words.remove, "Take out the part of that name, before any is put in")
      ->type_name("NAME")
      ->expected(1)
      ->take_all();
  command->add_option("--svg", options->svg, "Write the train, drawn to scale, into this file")->type_name("FILE");
  command->add_flag("--explain", options->explain, "Say of every number why: formula, inputs, source");
  add_json_flag(*command, context);
}

}  // namespace halfarc::cli
