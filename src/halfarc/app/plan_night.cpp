#include "halfarc/app/plan_night.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "halfarc/app/rig_night_words.h"
#include "halfarc/app/when.h"
#include "halfarc/sky/disc.h"
#include "halfarc/sky/field.h"
#include "halfarc/sky/galilean.h"
#include "halfarc/sky/magnitude.h"
#include "halfarc/sky/refraction.h"

namespace halfarc {
namespace {

using sky::Body;

constexpr Duration kStep = Duration::minutes(10.0);
constexpr Duration kShortest = Duration::minutes(20.0);
constexpr Angle kLowest = Angle::deg(10.0);
constexpr Angle kClearance = Angle::deg(2.0);
constexpr Angle kWarmReach = Angle::deg(20.0);
constexpr Duration kStale = Duration::days(90.0);  // common practice: a spot's longitude is measured every season
constexpr double kWarmWeight = 0.7;                // common practice: a warm roof below costs about a third

// How far the Sun must be below the horizon for a target to be worth recording (common practice).
Angle sun_limit(Body body) {
  switch (body) {
    case Body::mercury:
    case Body::venus:
    case Body::moon:
    case Body::jupiter:
      return Angle::deg(-2.0);
    case Body::uranus:
    case Body::neptune:
      return sky::kNauticalTwilight;
    default:
      return sky::kCivilTwilight;
  }
}

// The next full ten minutes of the clock.
Utc next_whole_step(Utc t) {
  constexpr std::int64_t step_ns = 600'000'000'000;
  const std::int64_t steps = t.unix_ns() / step_ns + (t.unix_ns() % step_ns > 0 ? 1 : 0);
  return Utc::unix_ns(steps * step_ns);
}

// From red to blue at an airless altitude.
Angle fringes_at(Angle altitude, const sky::Weather& weather) {
  return sky::refraction(altitude, weather, Length::nm(460.0)) - sky::refraction(altitude, weather, Length::nm(620.0));
}

StripStep step_at(const sky::NightTrack& track, const PlanRequest& request, const sky::Weather& weather, Body body,
                  Utc at) {
  StripStep s;
  s.at = at;
  s.place = track.horizontal(body, at);
  s.seen_altitude = s.place.altitude + sky::refraction(s.place.altitude, weather);
  const sky::HorizonPoint below = request.horizon.at(s.place.azimuth);
  s.obstacle = below.altitude;
  if (s.seen_altitude > Angle()) s.airmass = sky::airmass(s.seen_altitude);
  if (s.seen_altitude >= kLowest) s.dispersion = fringes_at(s.place.altitude, weather);
  s.over_warm = below.warm && s.seen_altitude - below.altitude < kWarmReach;
  const bool dark = track.horizontal(Body::sun, at).altitude <= sun_limit(body);
  s.usable = dark && s.seen_altitude >= std::max(kLowest, below.altitude + kClearance);
  return s;
}

NightWindow window_of(const std::vector<StripStep>& strip, std::size_t first, std::size_t last,
                      const PlanRequest& request) {
  std::size_t best = first;
  for (std::size_t i = first; i <= last; ++i) {
    if (strip[i].seen_altitude > strip[best].seen_altitude) best = i;
  }
  const StripStep& top = strip[best];
  NightWindow w;
  w.begins = strip[first].at;
  w.ends = strip[last].at;
  w.best = top.at;
  w.best_altitude = top.seen_altitude;
  w.airmass = top.airmass;
  w.seeing_factor = seeing_factor(w.airmass);
  w.dispersion = top.dispersion;
  w.over = request.horizon.at(top.place.azimuth).kind;
  w.over_warm = top.over_warm;
  w.field_rotation = sky::alt_az_motion(top.place, request.site.latitude).field_rotation;
  const double length = std::min(1.0, (w.ends - w.begins) / Duration::hours(1.0));
  w.score = (1.0 / w.seeing_factor) * (w.over_warm ? kWarmWeight : 1.0) * std::pow(length, 0.25);
  return w;
}

std::vector<NightWindow> windows_of(const std::vector<StripStep>& strip, const PlanRequest& request) {
  std::vector<NightWindow> windows;
  for (std::size_t i = 0; i < strip.size();) {
    if (!strip[i].usable) {
      ++i;
      continue;
    }
    std::size_t last = i;
    while (last + 1 < strip.size() && strip[last + 1].usable && strip[last + 1].over_warm == strip[i].over_warm) ++last;
    if (strip[last].at - strip[i].at >= kShortest) windows.push_back(window_of(strip, i, last, request));
    i = last + 1;
  }
  std::stable_sort(windows.begin(), windows.end(),
                   [](const NightWindow& a, const NightWindow& b) { return a.score > b.score; });
  return windows;
}

std::string over_words(const NightWindow& w) {
  const std::string_view kind = w.over == sky::Obstacle::open ? "ground" : name_of(w.over);
  return fmt::format("over a warm {}", kind);
}

std::string reason_of(const NightWindow& w, const NightWindow& first, bool is_first) {
  const std::string when = clock(w.best);
  if (is_first) {
    std::string text = fmt::format("highest at {}: {:.0f} deg", when, w.best_altitude.deg());
    if (w.over_warm) text += ", though " + over_words(w);
    return text;
  }
  const double higher = (w.best_altitude - first.best_altitude).deg();
  std::string text;
  if (std::abs(higher) < 0.5) {
    text = fmt::format("as high at {}", when);
  } else {
    text = fmt::format("{} by {:.0f} deg at {}", higher > 0.0 ? "higher" : "lower", std::abs(higher), when);
  }
  if (w.over_warm) text += " but " + over_words(w);
  if (w.ends - w.begins < Duration::hours(1.0))
    text += fmt::format(", only {:.0f} min long", (w.ends - w.begins).minutes());
  return text;
}

// The Moon is recorded in pieces: what matters is a field of two minutes of arc, not its whole disc.
Angle smeared_diameter(Body body, const sky::Disc& disc) {
  return body == Body::moon ? Angle::arcmin(2.0) : disc.equatorial_diameter;
}

void add_disc(TargetNight& target, const PlanRequest& request, Utc at) {
  const sky::Observer observer = sky::observe_from(request.site, at);
  const sky::Place place = place_of(target.body, observer);
  const sky::Disc disc = disc_of(target.body, place, observer);
  target.diameter = disc.equatorial_diameter;
  target.illuminated_fraction = disc.illuminated_fraction;
  const sky::Illumination illumination = illumination_of(target.body, place, disc, observer);
  target.magnitude = visual_magnitude(target.body, illumination);
  target.surface_magnitude = surface_magnitude(target.body, illumination, disc);
  target.sun_separation = separation(place, place_of(Body::sun, observer));
  const AngularRate spin =
      target.body == Body::moon ? AngularRate() : spin_rate(target.body, systems_of(target.body).back());
  for (NightWindow& w : target.windows) {
    w.longest_run = sky::longest_run(sky::smear(smeared_diameter(target.body, disc), spin,
                                                disc.sub_observer.planetocentric_latitude, w.field_rotation),
                                     request.allowed_smear);
  }
}

std::string why_none(const TargetNight& target, const sky::Night& night) {
  if (night.sun_never_sets()) return "the Sun does not set";
  Angle highest = Angle::deg(-90.0), highest_dark = Angle::deg(-90.0);
  for (const StripStep& s : target.strip) {
    highest = std::max(highest, s.seen_altitude);
    if (s.usable) highest_dark = std::max(highest_dark, s.seen_altitude);
  }
  if (highest < Angle::deg(0.0)) return "it does not rise";
  if (highest < kLowest) return fmt::format("it comes no higher than {:.0f} deg", highest.deg());
  if (target.sun_separation < Angle::deg(25.0))
    return fmt::format("it is {:.0f} deg from the Sun", target.sun_separation.deg());
  return "it is up by day only, or behind the horizon that was traced";
}

TargetNight target_night(const sky::NightTrack& track, const sky::Night& night, const PlanRequest& request,
                         const sky::Weather& weather, Body body) {
  TargetNight target;
  target.body = body;
  for (const sky::SkyEvent& e : track.rise_transit_set(body)) {
    auto& slot = e.kind == sky::SkyEventKind::rise  ? target.rises
                 : e.kind == sky::SkyEventKind::set ? target.sets
                                                    : target.transits;
    if (!slot) slot = e.at;
  }
  for (Utc at = next_whole_step(track.from()); at <= track.to(); at = at + kStep) {
    target.strip.push_back(step_at(track, request, weather, body, at));
  }
  target.windows = windows_of(target.strip, request);
  for (NightWindow& w : target.windows) w.reason = reason_of(w, target.windows.front(), &w == &target.windows.front());
  add_disc(target, request, target.windows.empty() ? night.darkest : target.windows.front().best);
  if (target.windows.empty()) target.none_because = why_none(target, night);
  return target;
}

bool is_usable_at(const TargetNight& target, Utc at) {
  return std::any_of(target.strip.begin(), target.strip.end(),
                     [at](const StripStep& s) { return s.usable && s.at <= at && at < s.at + kStep; });
}

// The part of the time around a transit in which the planet can be recorded, when there is any.
std::optional<NightNote> transit_note(const sky::Feature& feature, const TargetNight& target, Utc transit) {
  const Utc first = transit - sky::kWellPlaced, last = transit + sky::kWellPlaced;
  Utc begins = last, ends = first;
  for (const NightWindow& w : target.windows) {
    if (w.begins >= last || w.ends <= first) continue;
    begins = std::min(begins, std::max(w.begins, first));
    ends = std::max(ends, std::min(w.ends, last));
  }
  if (begins >= ends) return std::nullopt;
  return NightNote{transit,
                   fmt::format("{}: {} crosses the middle of the disc, well placed {} to {}", name_of(feature.body),
                               feature.name, clock(begins), clock(ends)),
                   NoteKind::feature};
}

void add_features(std::vector<NightNote>& notes, const NightPlan& plan) {
  for (const sky::Feature& feature : plan.asked.features) {
    for (const TargetNight& target : plan.targets) {
      if (target.body != feature.body || target.windows.empty()) continue;
      for (const Utc at : feature_transits(feature, plan.asked.site, plan.night.noon_before, plan.night.noon_after)) {
        if (auto note = transit_note(feature, target, at)) notes.push_back(std::move(*note));
      }
    }
  }
}

std::vector<NightNote> events_of(const NightPlan& plan, const sky::NightTrack& track) {
  std::vector<NightNote> notes;
  const sky::Night& n = plan.night;
  const auto add = [&](const std::optional<Utc>& at, const std::string& words) {
    if (at) notes.push_back({*at, words, NoteKind::twilight});
  };
  add(n.sun_down.begins, "the Sun sets");
  add(n.civil.begins, "civil twilight ends");
  add(n.nautical.begins, "nautical twilight ends");
  add(n.astronomical.begins, "full darkness begins");
  add(n.astronomical.ends, "full darkness ends");
  add(n.nautical.ends, "nautical twilight begins");
  add(n.civil.ends, "civil twilight begins");
  add(n.sun_down.ends, "the Sun rises");
  for (const sky::SkyEvent& e : track.rise_transit_set(Body::moon)) {
    if (e.kind == sky::SkyEventKind::transit) continue;
    notes.push_back({e.at, e.kind == sky::SkyEventKind::rise ? "the Moon rises" : "the Moon sets", NoteKind::moon});
  }
  for (const TargetNight& target : plan.targets) {
    if (target.body != Body::jupiter || target.windows.empty()) continue;
    for (const sky::MoonEvent& e : sky::galilean_events(n.noon_before, n.noon_after)) {
      if (is_usable_at(target, e.at)) notes.push_back({e.at, describe(e), NoteKind::satellite});
    }
  }
  add_features(notes, plan);
  std::stable_sort(notes.begin(), notes.end(), [](const NightNote& a, const NightNote& b) { return a.at < b.at; });
  return notes;
}

std::string run_words(Duration longest) {
  if (!std::isfinite(longest.s()) || longest > Duration::minutes(30.0)) return "any run";
  if (longest > Duration::minutes(3.0)) return fmt::format("runs up to {:.0f} min", longest.minutes());
  return fmt::format("runs up to {:.0f} s", longest.s());
}

// By the rig's own cooling; without a rig two hours before the first window (common practice).
Utc cooling_begins(const NightPlan& plan, Utc first) {
  return plan.rig && plan.rig->cooling ? plan.rig->cooling->out : first - Duration::hours(2.0);
}

void add_rig_tasks(std::vector<NightNote>& tasks, const RigNight& rig) {
  if (rig.dew && rig.dew->fogs)
    tasks.push_back({*rig.dew->fogs - Duration::minutes(15.0), "look at the front glass: dew is near", NoteKind::task});
}

// ", levers 3.4 marks", when the rig has levers.
std::string levers_words(const NightPlan& plan, Body body) {
  if (!plan.rig) return {};
  for (const TargetRig& target : plan.rig->targets) {
    if (target.body == body && target.best.levers) return ", levers " + lever_words(target.best);
  }
  return {};
}

std::vector<NightNote> tasks_of(const NightPlan& plan) {
  std::vector<NightNote> tasks;
  std::optional<Utc> first;
  for (const TargetNight& t : plan.targets) {
    if (t.windows.empty()) continue;
    const NightWindow& w = t.windows.front();
    if (!first || w.begins < *first) first = w.begins;
    tasks.push_back({w.begins, fmt::format("{}: record until {}; best at {} ({:.0f} deg){}, {}", name_of(t.body),
                                           clock(w.ends), clock(w.best), w.best_altitude.deg(),
                                           levers_words(plan, t.body), run_words(w.longest_run))});
  }
  if (first) {
    const Utc out = cooling_begins(plan, *first);
    const bool by_day = plan.night.sun_down.begins && out < *plan.night.sun_down.begins;
    tasks.push_back(
        {out, std::string("put the tube out to cool") + (by_day ? ", capped and in the shade" : ""), NoteKind::task});
  }
  if (plan.rig) add_rig_tasks(tasks, *plan.rig);
  if (const auto sunrise = plan.night.sun_down.ends; first && sunrise) {
    tasks.push_back(
        {*sunrise - Duration::minutes(15.0), "cap telescope and finder: the Sun rises at " + clock(*sunrise)});
  }
  std::stable_sort(tasks.begin(), tasks.end(), [](const NightNote& a, const NightNote& b) { return a.at < b.at; });
  return tasks;
}

std::vector<std::string> cautions_of(const NightPlan& plan) {
  std::vector<std::string> cautions;
  if (plan.night.sun_never_sets())
    cautions.push_back("The Sun does not set: nothing is planned. Keep telescope and finder capped.");
  for (const TargetNight& t : plan.targets) {
    if (t.windows.empty() || t.sun_separation >= sky::kSunExclusion) continue;
    cautions.push_back(
        fmt::format("{} stands {:.0f} deg from the Sun: point at it only after sunset or before sunrise.",
                    name_of(t.body), t.sun_separation.deg()));
  }
  for (const sky::Feature& f : plan.asked.features) {
    const Duration old = plan.asked.noon - f.measured;
    if (old < kStale) continue;
    cautions.push_back(fmt::format("The longitude of {} is {:.0f} days old: spots drift, so measure it again.", f.name,
                                   old / Duration::days(1.0)));
  }
  cautions.push_back("Before any slew by day cap telescope and finder; halfarc is not a solar tool.");
  cautions.push_back("Leads, a heavy tube and the cold trip people in the dark; run outdoor mains through an RCD.");
  return cautions;
}

// What the rig needs of a target's windows: every half hour of them, in order of time.
TargetHours hours_of(const TargetNight& target) {
  constexpr std::size_t kEvery = 3;  // of the strip's ten-minute steps
  TargetHours hours;
  hours.body = target.body;
  hours.surface_magnitude = target.surface_magnitude;
  std::size_t since = kEvery;
  for (const StripStep& s : target.strip) {
    if (!s.usable) {
      since = kEvery;
    } else if (since >= kEvery) {
      hours.moments.push_back({s.at, s.seen_altitude});
      since = 1;
    } else {
      ++since;
    }
  }
  if (!target.windows.empty()) hours.best = {target.windows.front().best, target.windows.front().best_altitude};
  return hours;
}

Result<std::optional<RigNight>> rig_of(const NightPlan& plan) {
  if (!plan.asked.rig) return std::optional<RigNight>();
  std::vector<TargetHours> targets;
  for (const TargetNight& t : plan.targets) {
    if (!t.windows.empty()) targets.push_back(hours_of(t));
  }
  const Utc sunset = plan.night.sun_down.begins.value_or(plan.night.noon_before + Duration::hours(6.0));
  const Utc sunrise = plan.night.sun_down.ends.value_or(plan.night.noon_after - Duration::hours(6.0));
  HALFARC_TRY(RigNight night, rig_night(*plan.asked.rig, plan.asked.air, plan.asked.site, sunset, sunrise, targets));
  return std::optional<RigNight>(std::move(night));
}

double best_score(const TargetNight& t) { return t.windows.empty() ? 0.0 : t.windows.front().score; }

}  // namespace

double seeing_factor(double airmass) { return std::pow(airmass, 0.6); }

std::string_view name_of(NoteKind kind) {
  switch (kind) {
    case NoteKind::twilight:
      return "twilight";
    case NoteKind::moon:
      return "moon";
    case NoteKind::satellite:
      return "satellite";
    case NoteKind::feature:
      return "feature";
    case NoteKind::task:
      break;
  }
  return "task";
}

Result<NightPlan> plan_night(const PlanRequest& request) {
  const int year = request.noon.civil().year;
  if (year < 1750 || year >= 2250) {
    return bad_input("the places of the planets are known from 1750 to 2249", request.noon.iso(0).substr(0, 10),
                     "type a date between them");
  }
  if (std::find(request.targets.begin(), request.targets.end(), Body::sun) != request.targets.end()) {
    return Error{ErrorKind::refused,
                 "halfarc is not a solar tool and plans nothing for the Sun",
                 {},
                 "name the Moon or a planet"};
  }
  std::vector<Body> needed = request.targets;
  needed.push_back(Body::moon);
  const sky::NightTrack track(request.site, request.noon, request.noon + Duration::days(1.0), needed);
  const sky::Weather weather = sky::usual_weather(request.site.height);
  NightPlan plan;
  plan.asked = request;
  plan.night = night_of(track);
  for (Utc at = next_whole_step(track.from()); at <= track.to(); at = at + kStep)
    plan.strip.push_back({at, track.horizontal(Body::sun, at).altitude, track.horizontal(Body::moon, at).altitude});
  for (const Body body : request.targets)
    plan.targets.push_back(target_night(track, plan.night, request, weather, body));
  std::stable_sort(plan.targets.begin(), plan.targets.end(),
                   [](const TargetNight& a, const TargetNight& b) { return best_score(a) > best_score(b); });
  HALFARC_TRY(plan.rig, rig_of(plan));
  plan.events = events_of(plan, track);
  plan.tasks = tasks_of(plan);
  plan.cautions = cautions_of(plan);
  return plan;
}

}  // namespace halfarc
