#include "halfarc/app/plan_document.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>

#include "halfarc/app/rig_night_words.h"
#include "halfarc/app/rounded.h"
#include "halfarc/app/when.h"

namespace halfarc {
namespace {

using nlohmann::json;

std::string clock(const std::optional<Utc>& t) { return t ? clock(*t) : std::string("-"); }

json maybe(const std::optional<Utc>& t) { return t ? json(t->iso(0)) : json(); }

void add_if(json& object, const char* key, const std::optional<Utc>& t) {
  if (t) object[key] = maybe(t);
}

json span_of(const sky::DarkSpan& s) {
  json span = json::object();
  add_if(span, "begins", s.begins);
  add_if(span, "ends", s.ends);
  return span;
}

json window_of(const NightWindow& w) {
  json j = {{"begins", w.begins.iso(0)},
            {"ends", w.ends.iso(0)},
            {"best", w.best.iso(0)},
            {"altitude_deg", rounded(w.best_altitude.deg(), 2)},
            {"airmass", rounded(w.airmass, 3)},
            {"seeing_factor", rounded(w.seeing_factor, 3)},
            {"dispersion_arcsec", rounded(w.dispersion.arcsec(), 3)},
            {"field_rotation_deg_per_h", rounded(w.field_rotation.deg_per_hour(), 2)},
            {"over", std::string(name_of(w.over))},
            {"over_warm", w.over_warm},
            {"score", rounded(w.score, 3)},
            {"reason", w.reason}};
  if (std::isfinite(w.longest_run.s())) j["longest_run_s"] = rounded(w.longest_run.s(), 1);
  return j;
}

json target_of(const TargetNight& t) {
  json j = {{"target", std::string(name_of(t.body))},
            {"diameter_arcsec", rounded(t.diameter.arcsec(), 2)},
            {"illuminated_fraction", rounded(t.illuminated_fraction, 4)},
            {"sun_separation_deg", rounded(t.sun_separation.deg(), 1)},
            {"windows", json::array()},
            {"strip", json::array()}};
  if (t.magnitude) j["magnitude"] = rounded(*t.magnitude, 2);
  add_if(j, "rises", t.rises);
  add_if(j, "transits", t.transits);
  add_if(j, "sets", t.sets);
  if (!t.none_because.empty()) j["none_because"] = t.none_because;
  for (const NightWindow& w : t.windows) j["windows"].push_back(window_of(w));
  for (const StripStep& s : t.strip) {
    json step = {{"utc", s.at.iso(0)},
                 {"altitude_deg", rounded(s.seen_altitude.deg(), 2)},
                 {"azimuth_deg", rounded(s.place.azimuth.deg(), 2)},
                 {"obstacle_deg", rounded(s.obstacle.deg(), 2)},
                 {"usable", s.usable}};
    if (s.airmass > 0.0) {
      step["airmass"] = rounded(s.airmass, 3);
      step["seeing_factor"] = rounded(seeing_factor(s.airmass), 3);
    }
    if (s.dispersion > Angle()) step["dispersion_arcsec"] = rounded(s.dispersion.arcsec(), 3);
    j["strip"].push_back(std::move(step));
  }
  return j;
}

json notes_of(const std::vector<NightNote>& notes) {
  json list = json::array();
  for (const NightNote& n : notes)
    list.push_back({{"utc", n.at.iso(0)}, {"kind", std::string(name_of(n.kind))}, {"words", n.words}});
  return list;
}

std::string evening(const NightPlan& plan) {
  // The date by the Sun at the site: that of its noon.
  const Utc local = plan.asked.noon + Duration::hours(plan.asked.site.longitude.deg() / 15.0);
  return local.iso(0).substr(0, 10);
}

std::string sun_words(const sky::Night& n) {
  if (n.sun_never_sets()) return "The Sun does not set.";
  std::string text = n.sun_never_rises()
                         ? std::string("The Sun does not rise.")
                         : fmt::format("Sun down {} to {}.", clock(n.sun_down.begins), clock(n.sun_down.ends));
  if (n.astronomical.begins || n.astronomical.ends) {
    text += fmt::format(" Fully dark {} to {}.", clock(n.astronomical.begins), clock(n.astronomical.ends));
  } else {
    text += fmt::format(" It does not get fully dark: the Sun sinks to {:.0f} deg.", n.lowest_sun.deg());
  }
  return text;
}

std::string target_words(const TargetNight& t) {
  std::string text = fmt::format("{:<8} {:>7.1f}\"", name_of(t.body), t.diameter.arcsec());
  text += t.magnitude ? fmt::format("  mag {:>5.1f}", *t.magnitude) : std::string("           ");
  text += fmt::format("  {:>3.0f} % lit  ", 100.0 * t.illuminated_fraction);
  if (t.windows.empty()) return text + "no window: " + t.none_because + "\n";
  bool first = true;
  for (const NightWindow& w : t.windows) {
    if (!first) text += std::string(40, ' ');
    text += fmt::format("{} to {}  {}; airmass {:.2f}, dispersion {:.1f}\"\n", clock(w.begins), clock(w.ends), w.reason,
                        w.airmass, w.dispersion.arcsec());
    first = false;
  }
  return text;
}

std::string rig_words(const RigNight& rig) {
  if (!rig.cooling) return {};
  std::string text = fmt::format("\nThe rig: {} ({})\n", rig.rig.name, air_words(rig.air));
  text += "  cooling   " + cooling_words(*rig.cooling) + "\n";
  if (rig.rig.time_constant)
    text +=
        fmt::format("            by the mirror's own time constant, {:.0f} min\n", rig.rig.time_constant->minutes());
  text += "  dew       " + dew_words(*rig.dew) + "\n";
  for (const TargetRig& target : rig.targets) {
    const LeverRow& best = target.best;
    text +=
        fmt::format("  {:<8}  at its best: blue {:.2f}\" above red, {:.2f}\" rms inside green\n", name_of(target.body),
                    (best.blue_minus_green - best.red_minus_green).arcsec(), best.inside_green.arcsec());
    if (best.levers)
      text += fmt::format("  {:<8}  both levers at {}; through the night {}\n", "", lever_words(best),
                          lever_course(target, 6));
    if (target.exposure) text += fmt::format("  {:<8}  {}\n", "", exposure_words(*target.exposure));
  }
  return text;
}

std::string place_words(const NightPlan& plan) {
  const sky::Site& s = plan.asked.site;
  const std::string name = plan.asked.site_name.empty() ? std::string() : plan.asked.site_name + ", ";
  return fmt::format("{}{:.2f} {}, {:.2f} {}", name, std::abs(s.latitude.deg()), s.latitude.rad() < 0.0 ? 'S' : 'N',
                     std::abs(s.longitude.deg()), s.longitude.rad() < 0.0 ? 'W' : 'E');
}

}  // namespace

std::string plan_json(const NightPlan& plan) {
  const sky::Site& site = plan.asked.site;
  json targets = json::array();
  for (const TargetNight& t : plan.targets) targets.push_back(target_of(t));
  json strip = json::array();
  for (const SkyStep& s : plan.strip) {
    strip.push_back({{"utc", s.at.iso(0)},
                     {"sun_altitude_deg", rounded(s.sun_altitude.deg(), 2)},
                     {"moon_altitude_deg", rounded(s.moon_altitude.deg(), 2)}});
  }
  json document = {{"schema", "halfarc.plan/1"},
                   {"date", evening(plan)},
                   {"site",
                    {{"name", plan.asked.site_name},
                     {"latitude_deg", rounded(site.latitude.deg(), 6)},
                     {"longitude_deg", rounded(site.longitude.deg(), 6)},
                     {"height_m", rounded(site.height.m(), 2)}}},
                   {"night",
                    {{"sun_down", span_of(plan.night.sun_down)},
                     {"civil", span_of(plan.night.civil)},
                     {"nautical", span_of(plan.night.nautical)},
                     {"astronomical", span_of(plan.night.astronomical)},
                     {"lowest_sun_deg", rounded(plan.night.lowest_sun.deg(), 2)},
                     {"darkest", plan.night.darkest.iso(0)}}},
                   {"strip", std::move(strip)},
                   {"targets", std::move(targets)},
                   {"events", notes_of(plan.events)},
                   {"tasks", notes_of(plan.tasks)},
                   {"cautions", plan.cautions}};
  if (plan.rig) document["rig"] = json::parse(rig_night_json(*plan.rig));
  return document.dump(2);
}

std::string plan_words(const NightPlan& plan) {
  std::string text = fmt::format("The night of {}, {}. All times UTC.\n", evening(plan), place_words(plan));
  text += sun_words(plan.night) + "\n\nTargets, the best first\n";
  for (const TargetNight& t : plan.targets) text += "  " + target_words(t);
  if (plan.rig) text += rig_words(*plan.rig);
  text += "\nDo this\n";
  if (plan.tasks.empty()) text += "  nothing: no target has a window\n";
  for (const NightNote& n : plan.tasks) text += fmt::format("  {}  {}\n", clock(n.at), n.words);
  text += "\nEvents\n";
  for (const NightNote& n : plan.events) text += fmt::format("  {}  {}\n", clock(n.at), n.words);
  text += "\nTake care\n";
  for (const std::string& c : plan.cautions) text += "  " + c + "\n";
  return text;
}

}  // namespace halfarc
