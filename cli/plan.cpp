// halfarc plan [--date D] [--target T] [--site LAT,LON,HEIGHT] [--horizon FILE] [--html FILE] [--ics FILE]
//              [--temperature DEGC] [--falling K_PER_HOUR] [--humidity PERCENT]
#include <memory>
#include <string>

#include "commands.h"
#include "halfarc/app/asked.h"
#include "halfarc/app/plan_calendar.h"
#include "halfarc/app/plan_document.h"
#include "halfarc/app/plan_page.h"
#include "halfarc/base/atomic_file.h"
#include "here.h"

namespace halfarc::cli {
namespace {

struct Options {
  PlanWords words;
  std::string html;
  std::string ics;
};

Result<void> plan(const Options& options, Context& context) {
  const Utc now = Utc::now();
  HALFARC_TRY(const NightPlan made, plan_asked({home_of_owner(), now}, options.words));
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
  command->add_option("--date", options->words.date, "The evening's date (default: tonight)")->type_name("DATE");
  command
      ->add_option("--target", options->words.targets,
                   "Moon, Mercury ... Neptune; may be given several times (default: all)")
      ->type_name("BODY");
  command->add_option("--site", options->words.site, "Place of the telescope (default: that of site.toml, see init)")
      ->type_name("LAT,LON,HEIGHT");
  command
      ->add_option("--horizon", options->words.horizon,
                   "The traced horizon, azimuth,altitude,kind,warm a line (default: horizon.csv beside site.toml)")
      ->type_name("FILE");
  command->add_option("--temperature", options->words.temperature_c, "Air at sunset (default: 10)")
      ->check(CLI::Range(-40.0, 45.0))
      ->type_name("DEGC");
  command
      ->add_option("--falling", options->words.falling_k_per_hour, "How fast it falls through the night (default: 1)")
      ->check(CLI::Range(-3.0, 6.0))
      ->type_name("K_PER_HOUR");
  command->add_option("--humidity", options->words.humidity_percent, "Relative humidity at sunset (default: 70)")
      ->check(CLI::Range(5.0, 100.0))
      ->type_name("PERCENT");
  command->add_option("--html", options->html, "Write the plan as one page to print")->type_name("FILE");
  command->add_option("--ics", options->ics, "Write the windows as a calendar for the phone")->type_name("FILE");
  add_json_flag(*command, context);
}

}  // namespace halfarc::cli
