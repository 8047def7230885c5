// halfarc plan [--date D] [--target T] [--site LAT,LON,HEIGHT] [--horizon FILE] [--html FILE] [--ics FILE]
#include <fstream>
#include <iterator>
#include <memory>
#include <string>
#include <vector>

#include "commands.h"
#include "halfarc/app/plan_calendar.h"
#include "halfarc/app/plan_document.h"
#include "halfarc/app/plan_night.h"
#include "halfarc/app/plan_page.h"
#include "halfarc/app/when.h"
#include "halfarc/base/atomic_file.h"

namespace halfarc::cli {
namespace {

struct Options {
  std::string date;
  std::vector<std::string> targets;
  std::string site;
  std::string horizon;
  std::string html;
  std::string ics;
};

// Kelderhaven, the invented harbour town of all examples.
constexpr sky::Site kExampleSite{Angle::deg(57.1), Angle::deg(-2.1), Length::m(12.0)};

Result<sky::Horizon> read_horizon(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) return bad_input("the horizon cannot be read", path, "name a file of lines like 135.0,22.5,roof,yes");
  const std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
  return sky::Horizon::parse(text, path);
}

Result<void> plan(const Options& options, Context& context) {
  PlanRequest request;
  request.site = kExampleSite;
  request.site_name = "Kelderhaven (no site was given)";
  if (!options.site.empty()) {
    HALFARC_TRY(request.site, sky::parse_site(options.site));
    request.site_name.clear();
  }
  if (!options.horizon.empty()) {
    HALFARC_TRY(request.horizon, read_horizon(options.horizon));
  }
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
  HALFARC_TRY(const NightPlan made, plan_night(request));
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
                                  "  halfarc plan --target jupiter --json\n",
                                  [options](Context& c) { return plan(*options, c); });
  command->add_option("--date", options->date, "The evening's date (default: tonight)")->type_name("DATE");
  command
      ->add_option("--target", options->targets, "Moon, Mercury ... Neptune; may be given several times (default: all)")
      ->type_name("BODY");
  command->add_option("--site", options->site, "Place of the telescope (default: the town of the examples)")
      ->type_name("LAT,LON,HEIGHT");
  command->add_option("--horizon", options->horizon, "The traced horizon: azimuth, altitude, kind, warm a line")
      ->type_name("FILE");
  command->add_option("--html", options->html, "Write the plan as one page to print")->type_name("FILE");
  command->add_option("--ics", options->ics, "Write the windows as a calendar for the phone")->type_name("FILE");
  add_json_flag(*command, context);
}

}  // namespace halfarc::cli
