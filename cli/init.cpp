// halfarc init [--site LAT,LON,HEIGHT] [--name NAME] [--telescope KIND] [--force]
#include <fmt/format.h>

#include <memory>
#include <string>

#include "commands.h"
#include "halfarc/app/init_home.h"
#include "here.h"

namespace halfarc::cli {
namespace {

struct Options {
  std::string site;
  std::string name;
  std::string telescope = "sct";
  bool force = false;
};

Result<void> init(const Options& options, Context& context) {
  HALFARC_TRY(InitRequest request, init_asked(home_of_owner(), options.telescope, options.site, options.name));
  request.force = options.force;
  const bool is_example = options.site.empty();
  HALFARC_TRY(const auto written, init_home(request));
  std::string text;
  for (const auto& path : written) text += fmt::format("Wrote {}\n", path.string());
  if (is_example)
    text += "The place is that of the examples: edit site.toml, or run halfarc init --force --site LAT,LON,HEIGHT.\n";
  text +=
      "rig.toml describes a usual telescope of this kind, a 2.0x amplifier and a 3.45 um colour camera: edit what "
      "differs.\n";
  return context.print(text);
}

}  // namespace

void add_init(CLI::App& app, Context& context) {
  const auto options = std::make_shared<Options>();
  CLI::App* command = add_command(app, context, "init", "Write site.toml and rig.toml: your place and your telescope.",
                                  "  halfarc init\n"
                                  "  halfarc init --telescope newtonian\n"
                                  "  halfarc init --site 57.1N,2.1W,12 --name \"the back garden\"\n"
                                  "  HALFARC_HOME=$PWD/second-site halfarc init --site 28.3N,16.5W,2390\n",
                                  [options](Context& c) { return init(*options, c); });
  command->add_option("--site", options->site, "Place of the telescope (default: the town of the examples)")
      ->type_name("LAT,LON,HEIGHT");
  command->add_option("--name", options->name, "What you call the place")->type_name("NAME");
  command
      ->add_option("--telescope", options->telescope,
                   "Kind that rig.toml begins with: sct, maksutov, newtonian or refractor (default: sct)")
      ->check(CLI::IsMember({"sct", "maksutov", "newtonian", "refractor"}))
      ->type_name("KIND");
  command->add_flag("--force", options->force, "Overwrite the files that are there");
}

}  // namespace halfarc::cli
