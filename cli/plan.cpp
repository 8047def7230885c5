// halfarc plan [--date D] [--target T] [--site LAT,LON,HEIGHT] [--horizon FILE] [--html FILE] [--ics FILE]
//              [--temperature DEGC] [--falling K_PER_HOUR] [--humidity PERCENT]
#include <filesystem>
#include <fstream>
#include <iterator>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "commands.h"
#include "halfarc/app/cooling_file.h"
#include "halfarc/app/plan_calendar.h"
#include "halfarc/app/plan_document.h"
#include "halfarc/app/plan_night.h"
#include "halfarc/app/plan_page.h"
#include "halfarc/app/rig_file.h"
#include "halfarc/app/when.h"
#include "halfarc/base/atomic_file.h"
#include "here.h"

namespace halfarc::cli {
namespace {

struct Options {
  std::string date;
  std::vector<std::string> targets;
  std::string site;
  std::string horizon;
  std::string html;
  std::string ics;
  std::optional<double> temperature, falling, humidity;
};

Result<sky::Horizon> read_horizon(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) return bad_input("the horizon cannot be read", path, "name a file of lines like 135.0,22.5,roof,yes");
  const std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
  return sky::Horizon::parse(text, path);
}

// The horizon of the home folder was traced at its own site, so a site that was typed does not get it.
Result<sky::Horizon> horizon_for(const Here& here, const std::string& typed, const std::filesystem::path& home) {
  if (!typed.empty()) return read_horizon(typed);
  if (here.is_typed) return sky::Horizon();
  HALFARC_TRY(auto traced, horizon_of_home(home));
  return traced ? std::move(*traced) : sky::Horizon();
}

// What was typed of the weather; the rest stays that of a usual night.
NightAir air_of(const Options& options) {
  NightAir air;
  if (options.temperature) air.evening = Temperature::celsius(*options.temperature);
  if (options.falling) air.fall_per_hour = TemperatureDifference::kelvin(*options.falling);
  if (options.humidity) air.relative_humidity = *options.humidity / 100.0;
  air.assumed = !(options.temperature && options.falling && options.humidity);
  return air;
}

Result<void> plan(const Options& options, Context& context) {
  PlanRequest request;
  const std::filesystem::path home = home_of_owner();
  HALFARC_TRY(const Here here, find_here(options.site, home));
  request.site = here.place.site;
  request.site_name = here.place.name;
  HALFARC_TRY(request.horizon, horizon_for(here, options.horizon, home));
  HALFARC_TRY(request.features, features_of_home(home));
  HALFARC_TRY(request.rig, rig_of_home(home));
  const bool own_rig = request.rig.has_value();
  if (!own_rig) request.rig = example_rig();
  HALFARC_CHECK(learn_cooling(home, *request.rig));
  request.air = air_of(options);
  const Utc now = Utc::now();
  request.noon = sky::noon_before_tonight(now, request.site);
  if (!options.date.empty()) {
    HALFARC_TRY(const Utc date, parse_when(options.date, now));
    request.noon = sky::noon_of(date, request.site);
  }
  for (const std::string& name : options.targets) {
    HALFARC_TRY(const sky::Body body, sky::parse_body(name));
    request.targets.push_back(body);
  }
  if (request.targets.empty()) {
    for (const sky::Body body : sky::kAllBodies) {
      if (body != sky::Body::sun) request.targets.push_back(body);
    }
  }
  HALFARC_TRY(NightPlan made, plan_night(request));
  if (!here.caution.empty()) made.cautions.push_back(here.caution);
  if (!own_rig)
    made.cautions.push_back(
        "No rig.toml: cooling, dew, levers and exposures are for the rig of the examples (halfarc init).");
  if (!options.html.empty()) HALFARC_CHECK(write_file(options.html, plan_page(made)));
  if (!options.ics.empty()) HALFARC_CHECK(write_file(options.ics, plan_calendar(made, now)));
  return context.print(context.json ? plan_json(made) : plan_words(made));
}

}  // namespace

void add_plan(CLI::App& app, Context& context) {
  const auto options = std::make_shared<Options>();
  CLI::App* command = add_command(app, context, "plan", "The night: what is worth recording when, and why.",
                                  "  halfarc plan\n"
                                  "  halfarc plan --date 2026-11-25 --site 57.1N,2.1W,12 --horizon horizon.csv\n"
                                  "  halfarc plan --html tonight.html --ics tonight.ics\n"
                                  "  halfarc plan --temperature 6 --falling 1.5 --humidity 85\n"
                                  "  halfarc plan --target jupiter --json\n",
                                  [options](Context& c) { return plan(*options, c); });
  command->add_option("--date", options->date, "The evening's date (default: tonight)")->type_name("DATE");
  command
      ->add_option("--target", options->targets, "Moon, Mercury ... Neptune; may be given several times (default: all)")
      ->type_name("BODY");
  command->add_option("--site", options->site, "Place of the telescope (default: that of site.toml, see init)")
      ->type_name("LAT,LON,HEIGHT");
  command
      ->add_option("--horizon", options->horizon,
                   "The traced horizon, azimuth,altitude,kind,warm a line (default: horizon.csv beside site.toml)")
      ->type_name("FILE");
  command->add_option("--temperature", options->temperature, "Air at sunset (default: 10)")
      ->check(CLI::Range(-40.0, 45.0))
      ->type_name("DEGC");
  command->add_option("--falling", options->falling, "How fast it falls through the night (default: 1)")
      ->check(CLI::Range(-3.0, 6.0))
      ->type_name("K_PER_HOUR");
  command->add_option("--humidity", options->humidity, "Relative humidity at sunset (default: 70)")
      ->check(CLI::Range(5.0, 100.0))
      ->type_name("PERCENT");
  command->add_option("--html", options->html, "Write the plan as one page to print")->type_name("FILE");
  command->add_option("--ics", options->ics, "Write the windows as a calendar for the phone")->type_name("FILE");
  add_json_flag(*command, context);
}

}  // namespace halfarc::cli
