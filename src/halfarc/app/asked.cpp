#include "halfarc/app/asked.h"

#include <fmt/format.h>

#include <cstdio>
#include <fstream>
#include <iterator>
#include <utility>

#include "halfarc/air/turbulence.h"
#include "halfarc/app/cooling_file.h"
#include "halfarc/app/here.h"
#include "halfarc/app/learned.h"
#include "halfarc/app/pointing_file.h"
#include "halfarc/app/rig_file.h"
#include "halfarc/app/when.h"
#include "halfarc/frames/recording.h"
#include "halfarc/sky/observer.h"
#include "halfarc/sky/place.h"

namespace halfarc {
namespace {

Result<Utc> instant(const std::string& at, Utc now) { return at.empty() ? Result<Utc>(now) : parse_when(at, now); }

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
NightAir air_of(const PlanWords& words) {
  NightAir air;
  if (words.temperature_c) air.evening = Temperature::celsius(*words.temperature_c);
  if (words.falling_k_per_hour) air.fall_per_hour = TemperatureDifference::kelvin(*words.falling_k_per_hour);
  if (words.humidity_percent) air.relative_humidity = *words.humidity_percent / 100.0;
  air.assumed = !(words.temperature_c && words.falling_k_per_hour && words.humidity_percent);
  return air;
}

Result<std::vector<sky::Body>> bodies_of(const std::vector<std::string>& names) {
  std::vector<sky::Body> bodies;
  for (const std::string& name : names) {
    HALFARC_TRY(const sky::Body body, sky::parse_body(name));
    bodies.push_back(body);
  }
  if (!bodies.empty()) return bodies;
  for (const sky::Body body : sky::kAllBodies) {
    if (body != sky::Body::sun) bodies.push_back(body);
  }
  return bodies;
}

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

Result<TrainTarget> target_of(const Asker& asker, const TrainWords& words, const Detector& camera, const Here& here) {
  TrainTarget target;
  HALFARC_TRY(target.where.body, sky::parse_body(words.target));
  HALFARC_TRY(target.where.utc, instant(words.at, asker.now));
  target.where.site = here.place.site;
  target.where.site_name = here.place.name;
  if (!words.region.empty()) {
    HALFARC_TRY(target.region, parse_region(words.region, camera));
  }
  if (words.peak_percent) target.peak = *words.peak_percent / 100.0;
  std::optional<Angle> seeing;
  if (words.seeing_arcsec) seeing = Angle::arcsec(*words.seeing_arcsec);
  if (!seeing)
    if (const auto expected = expected_seeing(asker.home, target.where.utc)) seeing = expected->fwhm.value;
  if (seeing) target.r0_at_zenith = r0_of_seeing(*seeing, kSeeingWavelength);
  return target;
}

// The middle of the first recording, else now.
Result<Utc> when_recorded(const BudgetWords& words, Utc now) {
  if (!words.at.empty() || words.runs.empty()) return instant(words.at, now);
  HALFARC_TRY(const auto recording, open_recording(words.runs.front()));
  const std::vector<Utc>& times = recording->info().times;
  if (times.empty()) return bad_input("holds no times", words.runs.front().string(), "say when it was made with --at");
  return times[times.size() / 2];
}

}  // namespace

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

Result<NightPlan> plan_asked(const Asker& asker, const PlanWords& words) {
  PlanRequest request;
  HALFARC_TRY(const Here here, find_here(words.site, asker.home));
  request.site = here.place.site;
  request.site_name = here.place.name;
  HALFARC_TRY(request.horizon, horizon_for(here, words.horizon, asker.home));
  HALFARC_TRY(request.features, features_of_home(asker.home));
  HALFARC_TRY(request.rig, rig_of_home(asker.home));
  const bool own_rig = request.rig.has_value();
  if (!own_rig) request.rig = example_rig();
  HALFARC_CHECK(learn_cooling(asker.home, *request.rig));
  request.air = air_of(words);
  request.noon = sky::noon_before_tonight(asker.now, request.site);
  if (!words.date.empty()) {
    HALFARC_TRY(const Utc date, parse_when(words.date, asker.now));
    request.noon = sky::noon_of(date, request.site);
  }
  HALFARC_TRY(request.targets, bodies_of(words.targets));
  HALFARC_TRY(NightPlan made, plan_night(request));
  if (!here.caution.empty()) made.cautions.push_back(here.caution);
  if (!own_rig)
    made.cautions.push_back(
        "No rig.toml: cooling, dew, levers and exposures are for the rig of the examples (halfarc init).");
  return made;
}

Result<Whereabouts> where_asked(const Asker& asker, const WhereWords& words) {
  WhereRequest request;
  HALFARC_TRY(request.body, sky::parse_body(words.target));
  HALFARC_TRY(request.utc, instant(words.at, asker.now));
  HALFARC_TRY(const Here here, find_here(words.site, asker.home));
  request.site = here.place.site;
  request.site_name = here.place.name;
  if (words.sun_exclusion_deg) {
    HALFARC_TRY(request.sun_rule, sky::sun_rule(Angle::deg(*words.sun_exclusion_deg), words.reason));
  }
  if (!words.from.empty()) {
    HALFARC_TRY(request.slew_from, place_from(words.from, request));
  }
  HALFARC_TRY(auto found, where_body(request));
  if (!here.caution.empty()) found.cautions.push_back(here.caution);
  return found;
}

Result<TrainAnswer> train_asked(const Asker& asker, const TrainWords& words) {
  HALFARC_TRY(auto rig, rig_of_home(asker.home));
  TrainRequest request;
  request.rig = rig ? std::move(*rig) : example_rig();
  HALFARC_TRY(request.pointing, pointing_of_home(asker.home));
  request.remove = words.remove;
  request.add = words.add;
  std::vector<std::string> cautions;
  if (!rig) cautions.push_back("No rig.toml: this is the rig of the examples. Run halfarc init once.");
  if (!words.target.empty()) {
    HALFARC_TRY(const Here here, find_here(words.site, asker.home));
    if (!here.caution.empty()) cautions.push_back(here.caution);
    HALFARC_TRY(request.target, target_of(asker, words, request.rig.camera, here));
  }
  HALFARC_TRY(auto answer, solve_train(request));
  answer.cautions.insert(answer.cautions.end(), cautions.begin(), cautions.end());
  return answer;
}

Result<BlurBudget> budget_asked(const Asker& asker, const BudgetWords& words, Progress& progress) {
  BudgetRequest request;
  HALFARC_TRY(request.target, sky::parse_body(words.target));
  HALFARC_TRY(request.utc, when_recorded(words, asker.now));
  HALFARC_TRY(const Here here, find_here(words.site, asker.home));
  request.site = here.place.site;
  request.site_name = here.place.name;
  HALFARC_TRY(auto owned, solved_rig_of_home(asker.home));
  request.rig = owned ? std::move(owned->rig) : example_rig();
  HALFARC_TRY([[maybe_unused]] const std::string changed, change_parts(request.rig, words.remove, words.add));
  request.state = words.state;
  const auto seeing = words.seeing_told ? std::nullopt : expected_seeing(asker.home, request.utc);
  if (seeing) request.state.seeing = seeing->fwhm;
  request.runs = words.runs;
  request.threads = words.threads;
  HALFARC_TRY(BlurBudget made, blur_budget(request, progress));
  if (seeing) made.notes.push_back(seeing->words());
  if (!here.caution.empty()) made.notes.push_back(here.caution);
  if (!owned) made.notes.push_back("No rig.toml: this is for the rig of the examples (halfarc init).");
  return made;
}

}  // namespace halfarc
