// halfarc where TARGET [--at UTC] [--site LAT,LON,HEIGHT] [--from AZIMUTH,ALTITUDE]
#include <cstdio>
#include <memory>
#include <optional>
#include <string>

#include "commands.h"
#include "halfarc/app/when.h"
#include "halfarc/app/where_body.h"
#include "halfarc/app/where_document.h"
#include "halfarc/sky/observer.h"
#include "halfarc/sky/place.h"
#include "here.h"

namespace halfarc::cli {
namespace {

struct Options {
  std::string target;
  std::string at = "now";
  std::string site;
  std::optional<double> sun_exclusion_deg;
  std::string reason;
  std::string from;
};

// "AZIMUTH,ALTITUDE" in degrees, or a body whose place it is at that time.
Result<sky::Horizontal> place_from(const std::string& words, const WhereRequest& request) {
  double azimuth = 0.0, altitude = 0.0;
  int read = 0;
  if (std::sscanf(words.c_str(), "%lf,%lf%n", &azimuth, &altitude, &read) == 2 &&
      static_cast<std::size_t>(read) == words.size()) {
    if (azimuth >= 0.0 && azimuth <= 360.0 && altitude >= -5.0 && altitude <= 90.0)
      return sky::Horizontal{Angle::deg(azimuth), Angle::deg(altitude)};
    return bad_input("azimuth runs from 0 to 360 and altitude from -5 to 90", words, "type for example --from 180,45");
  }
  HALFARC_TRY(const sky::Body body, sky::parse_body(words));
  return place_of(body, sky::observe_from(request.site, request.utc)).horizontal;
}

Result<void> where(const Options& options, Context& context) {
  WhereRequest request;
  HALFARC_TRY(request.body, sky::parse_body(options.target));
  HALFARC_TRY(request.utc, parse_when(options.at, Utc::now()));
  HALFARC_TRY(const Here here, find_here(options.site, home_of_owner()));
  request.site = here.place.site;
  request.site_name = here.place.name;
  if (options.sun_exclusion_deg) {
    HALFARC_TRY(request.sun_rule, sky::sun_rule(Angle::deg(*options.sun_exclusion_deg), options.reason));
  }
  if (!options.from.empty()) {
    HALFARC_TRY(request.slew_from, place_from(options.from, request));
  }
  HALFARC_TRY(auto found, where_body(request));
  if (!here.caution.empty()) found.cautions.push_back(here.caution);
  return context.print(context.json ? where_json(found) : where_words(found));
}

}  // namespace

void add_where(CLI::App& app, Context& context) {
  const auto options = std::make_shared<Options>();
  CLI::App* command = add_command(app, context, "where", "Where a body is and how its disc looks.",
                                  "  halfarc where jupiter\n"
                                  "  halfarc where saturn --at \"25 Nov 2026 21:04\" --site 57.1N,2.1W,12\n"
                                  "  halfarc where moon --at 2026-11-25T21:04Z --json\n"
                                  "  halfarc where venus --from 180,45\n",
                                  [options](Context& c) { return where(*options, c); });
  command->add_option("TARGET", options->target, "Moon, Mercury ... Neptune, in any spelling")->required();
  command->add_option("--at", options->at, "Date and time, UTC (default: now)")->type_name("UTC");
  command->add_option("--site", options->site, "Place of the telescope (default: that of site.toml, see init)")
      ->type_name("LAT,LON,HEIGHT");
  command
      ->add_option("--sun-exclusion", options->sun_exclusion_deg,
                   "By day, refuse what is nearer to the Sun than this (default 30); less than 30 needs --reason")
      ->type_name("DEG");
  command->add_option("--reason", options->reason, "Why the Sun exclusion is narrowed for this target")
      ->type_name("TEXT");
  command
      ->add_option("--from", options->from,
                   "Where the telescope points now: by day the way from there is checked against the Sun")
      ->type_name("AZIMUTH,ALTITUDE or BODY");
  add_json_flag(*command, context);
}

}  // namespace halfarc::cli
