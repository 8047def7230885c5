// Asked: a question about the night in the words of its owner, answered for a home folder. The command line and the
// server ask the same way, so that the page and the terminal never differ.
//
// Words are read here (a date, a body, a place); what is left out is what the home folder says, else a usual night. The
// answers carry the cautions that follow when there is no site.toml or rig.toml.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "halfarc/app/blur_budget.h"
#include "halfarc/app/plan_night.h"
#include "halfarc/app/solve_train.h"
#include "halfarc/app/where_body.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"
#include "halfarc/optics/detector.h"

namespace halfarc {

// The home folder, and the moment in which it is asked.
struct Asker {
  std::filesystem::path home;
  Utc now;
};

struct PlanWords {
  std::string date;                  // of the evening; empty: tonight
  std::vector<std::string> targets;  // empty: Moon and planets
  std::string site;                  // "LAT,LON,HEIGHT"; empty: that of the home folder
  std::string horizon;               // a file; empty: that of the home folder
  std::optional<double> temperature_c, falling_k_per_hour, humidity_percent;
};
// Errors: words that cannot be read; those of plan_night.
Result<NightPlan> plan_asked(const Asker& asker, const PlanWords& words);

struct WhereWords {
  std::string target;
  std::string at;    // empty: now
  std::string site;  // as above
  std::optional<double> sun_exclusion_deg;
  std::string reason;  // for a narrow exclusion
  std::string from;    // "AZIMUTH,ALTITUDE" or a body; may be empty
};
// Errors: words that cannot be read; those of where_body.
Result<Whereabouts> where_asked(const Asker& asker, const WhereWords& words);

// "640x480", within the camera's sensor. Errors (bad input): other words; a region the sensor does not have.
Result<Region> parse_region(const std::string& words, const Detector& camera);

struct TrainWords {
  std::string target;  // may be empty
  std::string at;      // empty: now
  std::string site;
  std::vector<std::string> add, remove;
  std::string region;  // "640x480"; may be empty
  std::optional<double> peak_percent, seeing_arcsec;
};
// Errors: words that cannot be read; those of solve_train.
Result<TrainAnswer> train_asked(const Asker& asker, const TrainWords& words);

struct BudgetWords {
  std::string target;
  std::string at;  // empty: when the first run was recorded, else now
  std::string site;
  TelescopeState state;
  bool seeing_told = false;  // that of `state`; else the logbook's, where it has one
  std::vector<std::filesystem::path> runs;
  Threads threads;
  std::vector<std::string> add{}, remove{};  // parts, as for the train; not with runs, which had another train
};
// Errors: words that cannot be read; those of blur_budget.
Result<BlurBudget> budget_asked(const Asker& asker, const BudgetWords& words, Progress& progress);

}  // namespace halfarc
