// halfarc train [--target T [--at UTC] [--site LAT,LON,HEIGHT]] [--add PART]... [--remove NAME]...
//               [--svg FILE] [--explain]
#include <fmt/format.h>

#include <cstdio>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "commands.h"
#include "halfarc/air/turbulence.h"
#include "halfarc/app/pointing_file.h"
#include "halfarc/app/rig_file.h"
#include "halfarc/app/solve_train.h"
#include "halfarc/app/train_document.h"
#include "halfarc/app/train_drawing.h"
#include "halfarc/app/when.h"
#include "halfarc/base/atomic_file.h"
#include "here.h"

namespace halfarc::cli {
namespace {

struct Options {
  std::string target;
  std::string at = "now";
  std::string site;
  std::vector<std::string> add;
  std::vector<std::string> remove;
  std::string region;
  std::optional<double> peak_percent, seeing_arcsec;
  std::string svg;
  bool explain = false;
};

// "640x480", within the sensor.
Result<Region> parse_region(const std::string& words, const Detector& camera) {
  Region region;
  char rest = 0;
  const bool read = std::sscanf(words.c_str(), "%dx%d%c", &region.width, &region.height, &rest) == 2;
  if (read && region.width >= 16 && region.height >= 16 && region.width <= camera.width &&
      region.height <= camera.height)
    return region;
  return bad_input("this is no region of the sensor", words,
                   fmt::format("type for example 640x480; the sensor has {}x{} pixels", camera.width, camera.height));
}

Result<TrainTarget> parse_target(const Options& options, const Detector& camera, const Here& here) {
  TrainTarget target;
  HALFARC_TRY(target.where.body, sky::parse_body(options.target));
  HALFARC_TRY(target.where.utc, parse_when(options.at, Utc::now()));
  target.where.site = here.place.site;
  target.where.site_name = here.place.name;
  if (!options.region.empty()) {
    HALFARC_TRY(target.region, parse_region(options.region, camera));
  }
  if (options.peak_percent) target.peak = *options.peak_percent / 100.0;
  if (options.seeing_arcsec)
    target.r0_at_zenith = r0_of_seeing(Angle::arcsec(*options.seeing_arcsec), kSeeingWavelength);
  return target;
}

Result<void> train(const Options& options, Context& context) {
  const auto home = home_of_owner();
  HALFARC_TRY(auto rig, rig_of_home(home));
  TrainRequest request;
  request.rig = rig ? std::move(*rig) : example_rig();
  HALFARC_TRY(request.pointing, pointing_of_home(home));
  request.remove = options.remove;
  request.add = options.add;
  std::vector<std::string> cautions;
  if (!rig) cautions.push_back("No rig.toml: this is the rig of the examples. Run halfarc init once.");
  if (!options.target.empty()) {
    HALFARC_TRY(const Here here, find_here(options.site, home));
    if (!here.caution.empty()) cautions.push_back(here.caution);
    HALFARC_TRY(request.target, parse_target(options, request.rig.camera, here));
  }
  HALFARC_TRY(auto answer, solve_train(request));
  answer.cautions.insert(answer.cautions.end(), cautions.begin(), cautions.end());
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
      command->add_option("--target", options->target, "Moon, Mercury ... Neptune: what the train makes of it");
  command->add_option("--at", options->at, "Date and time, UTC (default: now)")->type_name("UTC")->needs(target);
  command->add_option("--site", options->site, "Place of the telescope (default: that of site.toml, see init)")
      ->type_name("LAT,LON,HEIGHT")
      ->needs(target);
  command->add_option("--region", options->region, "Of the sensor, to record (default: one that holds the disc)")
      ->type_name("WIDTHxHEIGHT")
      ->needs(target);
  command->add_option("--peak", options->peak_percent, "Of the histogram, to aim at (default 75)")
      ->check(CLI::Range(5.0, 100.0))
      ->type_name("PERCENT")
      ->needs(target);
  command->add_option("--seeing", options->seeing_arcsec, "Width of a star at the zenith (default 1.3)")
      ->check(CLI::Range(0.2, 20.0))
      ->type_name("ARCSEC")
      ->needs(target);
  command
      ->add_option("--add", options->add,
                   "Put a part in: its keys of rig.toml, and at=NUMBER or at=NAME of the part it goes before "
                   "(default: the camera). Again for another")
      ->type_name("KEY=VALUE,...")
      ->expected(1)
      ->take_all();
  command->add_option("--remove", options->remove, "Take out the part of that name, before any is put in")
      ->type_name("NAME")
      ->expected(1)
      ->take_all();
  command->add_option("--svg", options->svg, "Write the train, drawn to scale, into this file")->type_name("FILE");
  command->add_flag("--explain", options->explain, "Say of every number why: formula, inputs, source");
  add_json_flag(*command, context);
}

}  // namespace halfarc::cli
