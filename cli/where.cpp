// halfarc where TARGET [--at UTC] [--site LAT,LON,HEIGHT] [--from AZIMUTH,ALTITUDE]
#include <memory>

#include "commands.h"
#include "halfarc/app/asked.h"
#include "halfarc/app/where_document.h"
#include "here.h"

namespace halfarc::cli {
namespace {

Result<void> where(const WhereWords& words, Context& context) {
  HALFARC_TRY(const Whereabouts found, where_asked({home_of_owner(), Utc::now()}, words));
  return context.print(context.json ? where_json(found) : where_words(found));
}

}  // namespace

void add_where(CLI::App& app, Context& context) {
  const auto options = std::make_shared<WhereWords>();
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
