// halfarc budget [RUN...] [--target T] [--at UTC] [--site LAT,LON,HEIGHT] [what is known of the night]
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "commands.h"
#include "halfarc/app/asked.h"
#include "halfarc/app/budget_document.h"
#include "here.h"

namespace halfarc::cli {
namespace {

struct Options {
  std::vector<std::string> runs;
  std::string target;
  std::string at;
  std::string site;
  std::optional<double> seeing, wind, warmer, defocus, coma, exposure_ms, run_s, keep_percent;
};

// What was typed is taken at its word, to a tenth; the rest stays a guess with a guess's error.
TelescopeState state_of(const Options& o) {
  TelescopeState state;
  if (o.seeing) state.seeing = {Angle::arcsec(*o.seeing), Angle::arcsec(0.1 * *o.seeing)};
  if (o.wind) state.wind = Speed::m_per_s(*o.wind);
  if (o.warmer)
    state.mirror_over_air = {TemperatureDifference::kelvin(*o.warmer), TemperatureDifference::kelvin(0.1 * *o.warmer)};
  if (o.defocus) state.defocus_waves = {*o.defocus, 0.1 * *o.defocus};
  if (o.coma) state.coma_waves = {*o.coma, 0.1 * *o.coma};
  if (o.exposure_ms) state.exposure = Duration::ms(*o.exposure_ms);
  if (o.run_s) state.run = Duration::s(*o.run_s);
  if (o.keep_percent) state.kept = *o.keep_percent / 100.0;
  return state;
}

Result<void> budget(const Options& options, Context& context) {
  BudgetWords words{options.target, options.at, options.site, state_of(options), options.seeing.has_value(), {},
                    context.threads};
  words.runs.assign(options.runs.begin(), options.runs.end());
  HALFARC_TRY(const BlurBudget made, budget_asked({home_of_owner(), Utc::now()}, words, *context.progress));
  return context.print(context.json ? budget_json(made) : budget_words(made));
}

}  // namespace

void add_budget(CLI::App& app, Context& context) {
  const auto options = std::make_shared<Options>();
  CLI::App* command =
      add_command(app, context, "budget", "All that blurs the picture in one table, and what mending each would gain.",
                  "  halfarc budget --target jupiter --at 2026-11-26T04:00Z\n"
                  "  halfarc budget --target saturn --at 2026-11-25T20:20Z --seeing 1.8 --warmer 2\n"
                  "  halfarc budget run-14.ser --target mars\n",
                  [options](Context& c) { return budget(*options, c); });
  const auto number = [&](const char* name, std::optional<double>& value, const char* what, double lowest,
                          double highest, const char* unit) {
    command->add_option(name, value, what)->check(CLI::Range(lowest, highest))->type_name(unit);
  };
  command->add_option("RUN", options->runs, "Recordings of the target: what they measure replaces the prediction");
  command->add_option("--target", options->target, "Moon, Mercury ... Neptune")->required()->type_name("BODY");
  command->add_option("--at", options->at, "Date and time, UTC (default: of the recording, else now)")
      ->type_name("UTC");
  command->add_option("--site", options->site, "Place of the telescope (default: that of site.toml, see init)")
      ->type_name("LAT,LON,HEIGHT");
  number("--seeing", options->seeing, "Width of a star at the zenith, long exposure (default: the logbook's, else 1.3)",
         0.2, 10.0, "ARCSEC");
  number("--wind", options->wind, "Wind aloft (default: 8)", 0.5, 60.0, "M_PER_S");
  number("--warmer", options->warmer, "Mirror above the air in the tube (default: 0.5)", 0.0, 20.0, "KELVIN");
  number("--defocus", options->defocus, "At the edge of the pupil (default: 0.12)", 0.0, 3.0, "WAVES");
  number("--coma", options->coma, "At the edge of the pupil (default: 0.15)", 0.0, 3.0, "WAVES");
  number("--exposure", options->exposure_ms, "Of a frame (default: what the rig would choose)", 0.01, 10000.0, "MS");
  number("--run", options->run_s, "Length of the recording (default: 60)", 0.1, 36000.0, "SECONDS");
  number("--keep", options->keep_percent, "Share of the frames kept (default: 30)", 0.1, 100.0, "PERCENT");
  add_json_flag(*command, context);
}

}  // namespace halfarc::cli
