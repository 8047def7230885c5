// halfarc where TARGET [--at UTC] [--site LAT,LON,HEIGHT]
#include <memory>
#include <optional>
#include <string>

#include "commands.h"
#include "halfarc/app/when.h"
#include "halfarc/app/where_body.h"
#include "halfarc/app/where_document.h"

namespace halfarc::cli {
namespace {

struct Options {
  std::string target;
  std::string at = "now";
  std::string site;
  std::optional<double> sun_exclusion_deg;
  std::string reason;
};

// Kelderhaven, the invented harbour town of all examples.
constexpr sky::Site kExampleSite{Angle::deg(57.1), Angle::deg(-2.1), Length::m(12.0)};

Result<void> where(const Options& options, Context& context) {
  WhereRequest request;
  HALFARC_TRY(request.body, sky::parse_body(options.target));
  HALFARC_TRY(request.utc, parse_when(options.at, Utc::now()));
  request.site = kExampleSite;
  if (!options.site.empty()) {
    HALFARC_TRY(request.site, sky::parse_site(options.site));
  }
  if (options.sun_exclusion_deg) {
    HALFARC_TRY(request.sun_rule, sky::sun_rule(Angle::deg(*options.sun_exclusion_deg), options.reason));
  }
  HALFARC_TRY(auto found, where_body(request));
  if (options.site.empty()) {
    found.cautions.push_back("No site was given: this is for Kelderhaven, the town of the examples. Type --site.");
  }
  return context.print(context.json ? where_json(found) : where_words(found));
}

}  // namespace

void add_where(CLI::App& app, Context& context) {
  const auto options = std::make_shared<Options>();
  CLI::App* command = add_command(app, context, "where", "Where a body is and how its disc looks.",
                                  "  halfarc where jupiter\n"
                                  "  halfarc where saturn --at \"25 Nov 2026 21:04\" --site 57.1N,2.1W,12\n"
                                  "  halfarc where moon --at 2026-11-25T21:04Z --json\n",
                                  [options](Context& c) { return where(*options, c); });
  command->add_option("TARGET", options->target, "Moon, Mercury ... Neptune, in any spelling")->required();
  command->add_option("--at", options->at, "Date and time, UTC (default: now)")->type_name("UTC");
  command->add_option("--site", options->site, "Place of the telescope (default: the town of the examples)")
      ->type_name("LAT,LON,HEIGHT");
  command
      ->add_option("--sun-exclusion", options->sun_exclusion_deg,
                   "By day, refuse what is nearer to the Sun than this (default 30); less than 30 needs --reason")
      ->type_name("DEG");
  command->add_option("--reason", options->reason, "Why the Sun exclusion is narrowed for this target")
      ->type_name("TEXT");
  add_json_flag(*command, context);
}

}  // namespace halfarc::cli
