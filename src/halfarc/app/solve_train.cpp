#include "halfarc/app/solve_train.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <utility>

#include "halfarc/app/rig_file.h"
#include "halfarc/optics/passband.h"
#include "halfarc/optics/sunlight.h"

namespace halfarc {
namespace {

constexpr Length kGreen = Length::nm(550.0);

// Where "at=2" or "at=NAME" puts a part: before the part of that number, counted from 1 at the telescope, or name.
Result<std::size_t> place_of(const Train& train, std::string_view at) {
  for (std::size_t i = 0; i < train.parts.size(); ++i) {
    if (train.parts[i].name == at) return i;
  }
  std::size_t number = 0;
  const auto [end, error] = std::from_chars(at.data(), at.data() + at.size(), number);
  if (error == std::errc() && end == at.data() + at.size() && number >= 1 && number <= train.parts.size())
    return number - 1;
  return bad_input(fmt::format("there is no part \"{}\" to put it before", at), "at",
                   fmt::format("name a part, or its number from 1 to {}", train.parts.size()));
}

// Takes the "at=" out of a part's words; before the camera when there is none.
Result<std::size_t> taken_place(const Train& train, std::string& words) {
  const std::size_t begin = words.starts_with("at=") ? 0 : words.find(",at=");
  if (begin == std::string::npos) return train.parts.size() - 1;
  const std::size_t value = words.find('=', begin) + 1;
  const std::size_t end = std::min(words.find(',', value), words.size());
  const std::string at = words.substr(value, end - value);
  words.erase(begin, end - begin + (begin == 0 && end < words.size() ? 1 : 0));
  return place_of(train, at);
}

// The telescope alone: the sensor in its design focus.
Result<TrainSolution> bare(const Rig& rig) {
  Part camera = rig.train.parts.back();
  camera.length = rig.telescope.back_focus;
  camera.glass = Length();
  return solve(Train{{camera}}, rig.telescope);
}

void add_parts(TrainAnswer& a) {
  const std::string source = "paraxial rays through thin lenses [BornWolf1999] 4.4; a plate shortens by t (1 - 1/n)";
  for (std::size_t i = 0; i < a.train.parts.size(); ++i) {
    const PlacedPart& p = a.train.parts[i];
    const std::string field = fmt::format("parts/{}/", i);
    const std::string of = p.part.name;
    const double before = i == 0 ? 0.0 : a.train.parts[i - 1].start.mm();
    const double length = i == 0 ? 0.0 : a.train.parts[i - 1].part.length.mm();
    a.why.push_back({field + "start_mm",
                     of + ": front face behind the rear port",
                     p.start.mm(),
                     2,
                     "mm",
                     "start of the part before + its length",
                     {{"start", before, "mm"}, {"length", length, "mm"}},
                     "sum of lengths as the rig gives them"});
    const std::vector<ReasonInput> beam = {{"opening", a.train.pupil.diameter.mm(), "mm"},
                                           {"focal length", a.train.focal_length.mm(), "mm"},
                                           {"front face to sensor", (a.train.sensor - p.start).mm(), "mm"}};
    a.why.push_back({field + "front_beam_mm", of + ": light of a star on the axis at its front face", p.front_beam.mm(),
                     2, "mm", "ray from the edge of the opening, followed to that face, twice", beam, source});
    a.why.push_back({field + "rear_beam_mm", of + ": light of a star on the axis at its rear face", p.rear_beam.mm(), 2,
                     "mm", "ray from the edge of the opening, followed to that face, twice", beam, source});
    a.why.push_back({field + "field_beam_mm",
                     of + ": all light that reaches the sensor, where it is widest",
                     std::max(p.front_field_beam, p.rear_field_beam).mm(),
                     2,
                     "mm",
                     "beam on the axis + twice the ray from the middle of the opening to the sensor's corner",
                     {{"beam on the axis", std::max(p.front_beam, p.rear_beam).mm(), "mm"},
                      {"sensor's diagonal", a.rig.train.parts.back().clear_aperture.mm(), "mm"}},
                     source});
    a.why.push_back({field + "focal_ratio",
                     of + ": focal ratio of the light in its middle",
                     p.focal_ratio,
                     2,
                     "",
                     "1 / (2 x slope of the ray from the edge of the opening)",
                     {{"focal ratio at the sensor", a.train.focal_ratio, ""}},
                     source});
  }
}

void add_focal_length(TrainAnswer& a) {
  const Telescope& t = a.rig.telescope;
  const TrainSolution& s = a.train;
  a.why.push_back({"sensor_mm",
                   "sensor behind the rear port",
                   s.sensor.mm(),
                   2,
                   "mm",
                   "sum of the lengths of all parts",
                   {{"parts", static_cast<double>(s.parts.size()), ""}},
                   "lengths as the rig gives them"});
  a.why.push_back({"back_focus_mm",
                   "back focus that the telescope gives",
                   s.back_focus.mm(),
                   2,
                   "mm",
                   "the cone that meets in the sensor taken back to the rear port: height / slope there",
                   {{"rear port to sensor", s.sensor.mm(), "mm"}, {"design back focus", t.back_focus.mm(), "mm"}},
                   "paraxial rays [BornWolf1999] 4.4; plates common practice, t (1 - 1/n)"});
  a.why.push_back({"amplification",
                   "amplification by all lenses of the train",
                   s.amplification,
                   4,
                   "",
                   "slope of that cone at the rear port / slope at the sensor",
                   {{"back focus", s.back_focus.mm(), "mm"}},
                   "[BornWolf1999] 4.4 (M = d/F + 1 for one lens)"});
  const double m = secondary_magnification(t, s.back_focus);
  const double base = t.mirrors ? t.mirrors->primary_focal_length.mm() : t.focal_length.mm();
  a.why.push_back({"telescope_focal_length_mm",
                   "focal length of the telescope at this back focus",
                   s.telescope_focal_length.mm(),
                   1,
                   "mm",
                   t.mirrors ? "main mirror's focal length x (1 + (secondary to focus) / secondary's focal length)"
                             : "that of the objective, whatever the back focus",
                   {{t.mirrors ? "main mirror's focal length" : "objective's focal length", base, "mm"},
                    {"magnification by the secondary", m, ""}},
                   "[Schroeder2000] 2"});
  a.why.push_back(
      {"focal_length_mm",
       "focal length at the sensor",
       s.focal_length.mm(),
       1,
       "mm",
       "focal length of the telescope x amplification",
       {{"focal length of the telescope", s.telescope_focal_length.mm(), "mm"}, {"amplification", s.amplification, ""}},
       "[BornWolf1999] 4.4"});
  a.why.push_back({"aperture_mm",
                   "opening that passes light all the way",
                   s.pupil.diameter.mm(),
                   1,
                   "mm",
                   "the narrowest of aperture, secondary, baffle and openings of the parts, as seen from the front",
                   {{"aperture", t.aperture.mm(), "mm"}},
                   "[Schroeder2000] 2"});
  a.why.push_back({"focal_ratio",
                   "focal ratio at the sensor",
                   s.focal_ratio,
                   2,
                   "",
                   "focal length / opening",
                   {{"focal length", s.focal_length.mm(), "mm"}, {"opening", s.pupil.diameter.mm(), "mm"}},
                   "definition"});
  a.why.push_back({"spherical_waves",
                   "spherical aberration that this back focus brings, at the edge of the opening",
                   spherical_change_waves(t, s.back_focus, kGreen),
                   3,
                   "waves",
                   "y^4 / (4 R^3) [K + ((m+1)/(m-1))^2] of the secondary, here less at the design back focus",
                   {{"back focus", s.back_focus.mm(), "mm"},
                    {"design back focus", t.back_focus.mm(), "mm"},
                    {"wavelength", kGreen.nm(), "nm"}},
                   "[Schroeder2000] 5"});
}

void add_scale(TrainAnswer& a) {
  const Detector& camera = a.rig.camera;
  const std::vector<ReasonInput> inputs = {{"pixel", camera.pixel.um(), "um"},
                                           {"focal length", a.train.focal_length.mm(), "mm"}};
  a.scale = plate_scale(a.rig, a.train);
  a.field_width = a.scale.angle(camera.width);
  a.field_height = a.scale.angle(camera.height);
  a.why.push_back({"scale_arcsec_per_px", "scale", a.scale.arcsec_per_px(), 4, "\"/px",
                   "206265\" x pixel / focal length", inputs, "[BornWolf1999] 4.3"});
  a.why.push_back({"field_arcsec/0",
                   "width of the field",
                   a.field_width.arcsec(),
                   1,
                   "\"",
                   "width of the sensor x scale",
                   {{"width", static_cast<double>(camera.width), "px"}, {"scale", a.scale.arcsec_per_px(), "\"/px"}},
                   "definition"});
  a.why.push_back({"field_arcsec/1",
                   "height of the field",
                   a.field_height.arcsec(),
                   1,
                   "\"",
                   "height of the sensor x scale",
                   {{"height", static_cast<double>(camera.height), "px"}, {"scale", a.scale.arcsec_per_px(), "\"/px"}},
                   "definition"});
}

void add_sampling(TrainAnswer& a) {
  const auto planes = colour_planes(a.rig);
  const bool mosaic = is_bayer(a.rig.mosaic), colours = a.rig.mosaic != Mosaic::mono;
  const Length pixel = a.rig.camera.pixel;
  const double ratio = a.train.focal_ratio;
  constexpr std::array kNames = {"red", "green", "blue"};
  constexpr std::array kSites = {Sites::every_second, Sites::diagonal, Sites::every_second};
  for (std::size_t c = 0; c < (colours ? 3U : 1U); ++c) {
    const Length wavelength = band(planes[c], sunlight()).mean;
    const PlaneSampling plane{colours ? kNames[c] : "mono", wavelength,
                              sampling(pixel, mosaic ? kSites[c] : Sites::every, wavelength, ratio),
                              sampling(pixel, Sites::every, wavelength, ratio)};
    const std::vector<ReasonInput> inputs = {
        {"wavelength", wavelength.nm(), "nm"}, {"focal ratio", ratio, ""}, {"pixel", pixel.um(), "um"}};
    const std::string field = "sampling/" + plane.plane + "/";
    a.why.push_back({field + "wavelength_nm",
                     plane.plane + " plane: mean wavelength of sunlight in it",
                     wavelength.nm(),
                     1,
                     "nm",
                     "mean over sunlight x telescope x filters x sensor",
                     {{"filters in the train", static_cast<double>(a.rig.filters.size()), ""}},
                     "typical curves from memory (optics/passband.h); sunlight [Prsa2016]"});
    a.why.push_back({field + "pixels_per_resolution", plane.plane + " plane: pixels in lambda / D",
                     plane.frame.pixels_per_resolution, 2, "px", "lambda N / p", inputs, "[Goodman2005] 6.3"});
    a.why.push_back({field + "pixels_needed",
                     plane.plane + " plane: pixels in lambda / D that one frame needs",
                     1.0 / plane.frame.nyquist,
                     2,
                     "px",
                     "1 / finest detail that the sites hold, in cycles a pixel",
                     {{"finest detail", plane.frame.nyquist, "cycles/px"}},
                     "sampling theorem [Goodman2005] 2.4"});
    a.sampling.push_back(plane);
  }
  const PlaneSampling& green = a.sampling[colours ? 1 : 0];
  a.why.push_back(
      {"pixels_per_resolution",
       "pixels in lambda / D, " + green.plane,
       green.frame.pixels_per_resolution,
       2,
       "px",
       "lambda N / p",
       {{"wavelength", green.wavelength.nm(), "nm"}, {"focal ratio", ratio, ""}, {"pixel", pixel.um(), "um"}},
       "[Goodman2005] 6.3"});
}

Result<void> add_light(TrainAnswer& a) {
  HALFARC_TRY(const TrainSolution alone, bare(a.rig));
  a.light_factor = change(alone, a.train, a.rig.telescope, kGreen).light_factor;
  a.why.push_back({"light_factor",
                   "light on each mm^2 of the sensor, against the bare telescope at prime focus",
                   a.light_factor,
                   4,
                   "",
                   "passed by the parts x (bare focal ratio / focal ratio)^2, shadow included",
                   {{"passed by the parts", a.train.transmission, ""},
                    {"bare focal ratio", alone.focal_ratio, ""},
                    {"focal ratio", a.train.focal_ratio, ""}},
                   "[BornWolf1999] 4.8 (brightness of images); colours of filters left out"});
  return {};
}

void add_focus(TrainAnswer& a) {
  const Telescope& t = a.rig.telescope;
  const double m = secondary_magnification(t, a.train.back_focus);
  a.focus = focus_depth(t, a.train, kGreen, kQuarterWave);
  a.why.push_back({"focus/depth_um",
                   "depth of focus on the sensor, to either side",
                   a.focus.sensor.um(),
                   1,
                   "um",
                   "8 N^2 W lambda",
                   {{"focal ratio N", a.train.focal_ratio, ""},
                    {"bound W", kQuarterWave, "waves"},
                    {"wavelength", kGreen.nm(), "nm"}},
                   "[BornWolf1999] 8.8; a quarter wave is Rayleigh's bound"});
  a.why.push_back({"focus/mirror_um",
                   t.mirrors ? "the same at the main mirror" : "the same at the focuser",
                   a.focus.travel.um(),
                   2,
                   "um",
                   "depth on the sensor / (amplification^2 x m^2)",
                   {{"depth on the sensor", a.focus.sensor.um(), "um"},
                    {"amplification", a.train.amplification, ""},
                    {"m of the secondary", m, ""}},
                   "[Schroeder2000] 2"});
  a.why.push_back({"focus/knob_turns",
                   "the same on the knob",
                   a.focus.knob_turns,
                   4,
                   "turns",
                   "travel / pitch of the knob",
                   {{"travel", a.focus.travel.um(), "um"}, {"pitch", t.knob.travel_per_turn.um(), "um a turn"}},
                   "pitch as the rig gives it"});
  a.why.push_back({"focus/kelvin",
                   "warming or cooling of the tube that uses it up",
                   a.focus.tube.kelvin(),
                   2,
                   "K",
                   "depth at the telescope's focus / shift of that focus for one kelvin",
                   {{"depth at the telescope's focus", a.focus.telescope_focus.um(), "um"},
                    {"shift for one kelvin", focus_shift_per_kelvin(t, a.train.back_focus).um(), "um"}},
                   "[Schroeder2000] 2: -(m^2 + 1) alpha separation of the mirrors"});
}

// The knob's way, as far as it is known.
std::string direction_of(const Rig& rig, const TrainChange& c) {
  if (rig.knob_sense_known) return c.knob.clockwise ? "clockwise" : "counter-clockwise";
  if (!rig.telescope.mirrors) return c.back_focus > Length() ? "racks the focuser in" : "racks the focuser out";
  return c.back_focus > Length() ? "moves the focus outwards" : "moves the focus inwards";
}

std::string light_words(double factor) {
  if (std::abs(factor - 1.0) < 0.005) return "as bright as before";
  return factor < 1.0 ? fmt::format("{:.2f} times dimmer", 1.0 / factor) : fmt::format("{:.2f} times brighter", factor);
}

std::string change_words(const Rig& rig, const AskedChange& change) {
  const TrainChange& c = change.optics;
  std::string text = "focus stays where it is";
  if (c.knob.turns >= 0.001) {
    text = fmt::format("turn the knob {:.2f} turns {}{}", c.knob.turns, rig.knob_sense_known ? "" : "the way that ",
                       change.direction);
    if (c.knob.past > 0.0) text += fmt::format(", {:.2f} further and as much back", c.knob.past);
  }
  return fmt::format("{}; the image is {:.3f} times as large and {}", text, c.scale_factor,
                     light_words(c.light_factor));
}

Result<void> add_change(TrainAnswer& a, std::string part) {
  const Telescope& t = a.rig.telescope;
  HALFARC_TRY(const TrainSolution before, solve(a.asked.rig));
  AskedChange change{std::move(part), halfarc::change(before, a.train, t, kGreen), {}, {}, {}};
  const TrainChange& c = change.optics;
  change.direction = direction_of(a.rig, c);
  change.words = change_words(a.rig, change);
  a.why.push_back({"change/back_focus_mm",
                   "change of back focus; positive: the focus moves out",
                   c.back_focus.mm(),
                   2,
                   "mm",
                   "back focus after - before",
                   {{"after", a.train.back_focus.mm(), "mm"}, {"before", before.back_focus.mm(), "mm"}},
                   "[BornWolf1999] 4.4"});
  a.why.push_back({"change/mirror_um",
                   t.mirrors ? "travel of the main mirror, towards the sky" : "travel of the focuser, towards the sky",
                   c.skyward_travel.um(),
                   0,
                   "um",
                   t.mirrors ? "change of the place of the main mirror's focus before the secondary: about dB / m^2"
                             : "change of back focus",
                   {{"change of back focus dB", c.back_focus.mm(), "mm"},
                    {"m of the secondary", secondary_magnification(t, a.train.back_focus), ""}},
                   "[Schroeder2000] 2"});
  a.why.push_back({"change/knob_turns",
                   "turns of the knob",
                   c.knob.turns,
                   3,
                   "turns",
                   "travel / pitch of the knob",
                   {{"travel", c.skyward_travel.um(), "um"}, {"pitch", t.knob.travel_per_turn.um(), "um a turn"}},
                   "pitch as the rig gives it"});
  a.why.push_back({"change/past_turns",
                   "turns beyond the place before coming back",
                   c.knob.past,
                   3,
                   "turns",
                   "slack + a quarter turn when the way goes away from the sky, else nothing",
                   {{"slack", t.knob.backlash_turns, "turns"}},
                   "common practice: the last motion is towards the sky"});
  a.why.push_back({"change/light_factor",
                   "light on each mm^2, after over before",
                   c.light_factor,
                   4,
                   "",
                   "(passed by the parts x (opening / focal length)^2) after / the same before",
                   {{"focal ratio before", before.focal_ratio, ""},
                    {"after", a.train.focal_ratio, ""},
                    {"passed before", before.transmission, ""},
                    {"after", a.train.transmission, ""}},
                   "[BornWolf1999] 4.8"});
  a.why.push_back({"change/scale_factor",
                   "size of the image, after over before",
                   c.scale_factor,
                   4,
                   "",
                   "focal length after / before",
                   {{"after", a.train.focal_length.mm(), "mm"}, {"before", before.focal_length.mm(), "mm"}},
                   "[BornWolf1999] 4.3"});
  a.why.push_back({"change/spherical_waves",
                   "spherical aberration that the change brings, at the edge of the opening",
                   c.spherical_waves,
                   3,
                   "waves",
                   "that of the new back focus - that of the old",
                   {{"back focus after", a.train.back_focus.mm(), "mm"},
                    {"before", before.back_focus.mm(), "mm"},
                    {"wavelength", kGreen.nm(), "nm"}},
                   "[Schroeder2000] 5"});
  change.balance = changed_balance(a.asked.rig, a.rig, a.asked.pointing, a.why);
  a.change = std::move(change);
  return {};
}

void add_cautions(TrainAnswer& a) {
  if (!a.train.in_reach)
    a.cautions.push_back(fmt::format(
        "The knob does not reach a back focus of {:.0f} mm: shorten or lengthen the train.", a.train.back_focus.mm()));
  if (a.train.pupil.diameter < a.rig.telescope.aperture * 0.995)
    a.cautions.push_back(fmt::format("Only {:.0f} mm of the aperture pass light all the way to the sensor.",
                                     a.train.pupil.diameter.mm()));
  for (const PlacedPart& p : a.train.parts) {
    if (p.cuts_axis) a.cautions.push_back(p.part.name + " is too narrow: it cuts off light on the axis.");
    if (p.cuts_field && !p.cuts_axis) a.cautions.push_back(p.part.name + " darkens the corners of the sensor.");
  }
}

}  // namespace

Result<std::string> change_parts(Rig& rig, std::span<const std::string> remove, std::span<const std::string> add) {
  std::string said;
  const auto say = [&](const std::string& part, const char* way) {
    said += fmt::format("{}{} {}", said.empty() ? "" : ", ", part, way);
  };
  for (const std::string& name : remove) {
    HALFARC_CHECK(remove_part(rig, name));
    say(name, "out");
  }
  for (std::string words : add) {
    HALFARC_TRY(const std::size_t place, taken_place(rig.train, words));
    HALFARC_CHECK(add_part(rig, words, place));
    say(rig.train.parts[place].name, "in");
  }
  return said;
}

Result<TrainAnswer> solve_train(const TrainRequest& request) {
  TrainAnswer a;
  a.asked = request;
  a.rig = request.rig;
  HALFARC_TRY(std::string changed, change_parts(a.rig, request.remove, request.add));
  HALFARC_TRY(a.train, solve(a.rig));
  add_parts(a);
  add_focal_length(a);
  add_scale(a);
  add_sampling(a);
  HALFARC_CHECK(add_light(a));
  add_focus(a);
  if (!changed.empty()) HALFARC_CHECK(add_change(a, std::move(changed)));
  add_cautions(a);
  if (request.target) {
    HALFARC_TRY(a.target, train_at_target(a.rig, a.train, *request.target, a.why, a.cautions));
  }
  return a;
}

}  // namespace halfarc
