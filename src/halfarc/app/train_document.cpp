#include "halfarc/app/train_document.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

#include "halfarc/app/rounded.h"

namespace halfarc {
namespace {

using nlohmann::json;

std::string_view name_of(PartKind kind) {
  constexpr std::array names = {"diagonal", "filter", "corrector", "amplifier", "spacer", "camera"};
  return names[static_cast<std::size_t>(kind)];
}

// What the rig says of a part, and what is no number; the rest comes from the reasons.
json part_of(const PlacedPart& placed) {
  json part = {{"name", placed.part.name},
               {"kind", std::string(name_of(placed.part.kind))},
               {"length_mm", rounded(placed.part.length.mm(), 3)},
               {"cuts_axis", placed.cuts_axis},
               {"cuts_field", placed.cuts_field}};
  if (placed.part.glass > Length()) part["glass_mm"] = rounded(placed.part.glass.mm(), 3);
  if (placed.part.clear_aperture > Length()) part["clear_mm"] = rounded(placed.part.clear_aperture.mm(), 3);
  return part;
}

std::string_view limit_words(ExposureLimit limit) {
  switch (limit) {
    case ExposureLimit::full_well:
      return "full well";
    case ExposureLimit::dim:
      return "dim";
    case ExposureLimit::motion:
      break;
  }
  return "motion";
}

std::string_view limit_words(RateLimit limit) {
  switch (limit) {
    case RateLimit::link:
      return "link";
    case RateLimit::sensor:
      return "sensor";
    case RateLimit::exposure:
      break;
  }
  return "exposure";
}

json corrector_of(const CorrectorThere& there) {
  json prisms = {{"enough", there.setting.enough}};
  if (!there.place.empty()) prisms["place"] = there.place;
  return prisms;
}

void add_target(json& document, const TrainAtTarget& at) {
  document["target"] = std::string(name_of(at.where.asked.body));
  document["utc"] = at.where.asked.utc.iso(3);
  if (at.corrector) document["prisms"] = corrector_of(*at.corrector);
  if (at.other) document["prisms"]["other_order"] = corrector_of(*at.other);
  if (at.exposure) {
    document["exposure"] = {{"limit", std::string(limit_words(at.exposure->limit))},
                            {"frames_limit", std::string(limit_words(at.exposure->frames.limit))},
                            {"region_px", {at.region.width, at.region.height}}};
  }
}

json why_of(const Reason& reason) {
  json inputs = json::array();
  for (const ReasonInput& input : reason.inputs) {
    json one = {{"name", input.name}, {"value", input.value}};
    if (!input.unit.empty()) one["unit"] = input.unit;
    inputs.push_back(std::move(one));
  }
  json why = {{"field", reason.field},     {"what", reason.what},         {"value", shown(reason)},
              {"formula", reason.formula}, {"inputs", std::move(inputs)}, {"source", reason.source}};
  if (!reason.unit.empty()) why["unit"] = reason.unit;
  return why;
}

// A line of the words: a short name, then what is said of it.
void add(std::string& text, std::string_view name, const std::string& says) {
  text += fmt::format("  {:<14}{}\n", name, says);
}

std::string parts_words(const TrainAnswer& a) {
  std::size_t widest = 4;
  for (const PlacedPart& p : a.train.parts) widest = std::max(widest, p.part.name.size());
  std::string text = fmt::format("     {:<{}}  {:>8} {:>8} {:>8} {:>8} {:>7}\n", "part", widest, "from mm", "to mm",
                                 "beam mm", "field mm", "f/");
  int number = 0;
  for (const PlacedPart& p : a.train.parts) {
    text += fmt::format("  {:>2} {:<{}}  {:>8.1f} {:>8.1f} {:>8.1f} {:>8.1f} {:>7.1f}{}\n", ++number, p.part.name,
                        widest, p.start.mm(), (p.start + p.part.length).mm(), std::max(p.front_beam, p.rear_beam).mm(),
                        std::max(p.front_field_beam, p.rear_field_beam).mm(), p.focal_ratio,
                        p.cuts_axis    ? "  too narrow"
                        : p.cuts_field ? "  darkens corners"
                                       : "");
  }
  return text;
}

std::string sampling_words(const TrainAnswer& a) {
  std::string has, holds_frame, holds_stack;
  const auto join = [](std::string& list, const std::string& word) { list += (list.empty() ? "" : ", ") + word; };
  for (const PlaneSampling& p : a.sampling) {
    join(has, fmt::format("{} {:.1f} px", p.plane, p.frame.pixels_per_resolution));
    if (p.frame.holds_everything) join(holds_frame, p.plane);
    if (p.stack.holds_everything) join(holds_stack, p.plane);
  }
  return fmt::format("{} in lambda/D; all detail held in one frame: {}; in a stack: {}", has,
                     holds_frame.empty() ? "none" : holds_frame, holds_stack.empty() ? "none" : holds_stack);
}

void add_change_words(std::string& text, const AskedChange& change) {
  const TrainChange& c = change.optics;
  add(text, "Change", change.part);
  add(text, "", change.words);
  add(text, "",
      fmt::format("back focus {:+.1f} mm, mirror {:+.0f} um towards the sky, spherical {:+.3f} waves",
                  c.back_focus.mm(), c.skyward_travel.um(), c.spherical_waves));
  add(text, "", change.balance ? change.balance->words : "balance: give mass_g of the parts to know it");
}

std::string corrector_words(const CorrectorThere& c, bool colours) {
  std::string text = fmt::format("both levers at {:.1f} marks ({:.1f} deg)", c.setting.marks, c.lever.deg());
  if (!c.setting.enough) text += ", the widest, which is not enough";
  if (colours) text += fmt::format("; left: blue above red {:+.2f}\"", c.residual.arcsec());
  text += fmt::format(", inside {} {:.3f}\"", colours ? "green" : "the light", c.inside_green.arcsec());
  if (c.strehl) text += fmt::format("; Strehl {:.3f}", *c.strehl);
  return text;
}

std::string exposure_words(const ExposureChoice& e) {
  const double peak = std::max({e.histograms[0].peak, e.histograms[1].peak, e.histograms[2].peak});
  return fmt::format("{:.1f} ms at {:.2f} e/ADU, peak {:.0f} %{}", e.exposure.ms(), e.e_per_adu, 100.0 * peak,
                     e.limit == ExposureLimit::full_well ? " (limited by the full well)"
                     : e.limit == ExposureLimit::dim     ? " (dim: the highest gain leaves it low)"
                                                         : " (limited by the air's motion)");
}

void add_target_words(std::string& text, const TrainAnswer& a, const TrainAtTarget& at) {
  const bool colours = a.rig.mosaic != Mosaic::mono;
  const std::string date = at.where.asked.utc.iso(0).substr(0, 19).replace(10, 1, " ");
  text += fmt::format("\n{}, {} UTC, altitude {:.1f} deg, airmass {:.2f}\n", name_of(at.where.asked.body), date,
                      at.where.refracted_altitude.deg(), *at.where.airmass);
  add(text, "Dispersion",
      colours ? fmt::format("red {:+.2f}\", blue {:+.2f}\" above green; inside green {:.3f}\" rms",
                            (at.air[0].centroid - at.air[1].centroid).arcsec(),
                            (at.air[2].centroid - at.air[1].centroid).arcsec(), at.air[1].rms_width.arcsec())
              : fmt::format("{:.3f}\" rms inside the light", at.air[1].rms_width.arcsec()));
  if (at.corrector) {
    add(text, "Corrector", corrector_words(*at.corrector, colours));
    add(text, "",
        fmt::format("the target moves {:.0f} px towards {:.0f} deg on the image (clockwise from up)",
                    at.corrector->target_shift.length(),
                    std::fmod(std::round(direction_of(at.corrector->target_shift).deg()), 360.0)));
  }
  if (at.other) add(text, "", at.other->place + " instead: " + corrector_words(*at.other, colours));
  if (at.exposure) {
    add(text, "Exposure", exposure_words(*at.exposure));
    add(text, "",
        fmt::format("{} x {} px: {:.0f} frames a second ({} limits), {:.1f} GB a minute", at.region.width,
                    at.region.height, at.exposure->frames.per_s, limit_words(at.exposure->frames.limit),
                    at.exposure->gigabytes_per_minute));
  }
  std::string smear = fmt::format("turning field {:.2f}\"/min at the {}", at.smear.limb.arcsec_per_minute(),
                                  at.where.asked.body == sky::Body::moon ? "corners" : "limb");
  if (at.smear.centre > AngularRate())
    smear = fmt::format("spin {:.2f}\"/min in the middle, ", at.smear.centre.arcsec_per_minute()) + smear;
  if (std::isfinite(at.longest_run.s())) smear += fmt::format("; longest run {:.0f} s", at.longest_run.s());
  add(text, "Smear", smear);
}

}  // namespace

std::string train_words(const TrainAnswer& a) {
  const TrainSolution& s = a.train;
  std::string text = a.rig.name.empty() ? "The train\n" : a.rig.name + "\n";
  for (const std::string& caution : a.cautions) add(text, "Caution", caution);
  text += parts_words(a);
  add(text, "Focal length",
      fmt::format("{:.0f} mm, f/{:.1f}; opening {:.0f} mm; amplified {:.2f} x", s.focal_length.mm(), s.focal_ratio,
                  s.pupil.diameter.mm(), s.amplification));
  add(text, "Scale",
      fmt::format("{:.4f}\"/px; field {:.0f}\" x {:.0f}\"", a.scale.arcsec_per_px(), a.field_width.arcsec(),
                  a.field_height.arcsec()));
  add(text, "Sampling", sampling_words(a));
  add(text, "Light", fmt::format("{:.3f} of the bare telescope's on each mm^2", a.light_factor));
  add(text, "Back focus",
      fmt::format("{:.1f} mm of the telescope's (designed for {:.1f} mm)", s.back_focus.mm(),
                  a.rig.telescope.back_focus.mm()));
  add(text, "Focus depth",
      fmt::format("+-{:.0f} um on the sensor, {:.1f} um at the {}, {:.3f} knob turns, {:.1f} K of the tube",
                  a.focus.sensor.um(), a.focus.travel.um(), a.rig.telescope.mirrors ? "mirror" : "focuser",
                  a.focus.knob_turns, a.focus.tube.kelvin()));
  if (a.change) add_change_words(text, *a.change);
  if (a.target) add_target_words(text, a, *a.target);
  return text;
}

std::string explain_words(const TrainAnswer& answer) {
  std::string text = "\nWhy\n";
  for (const Reason& reason : answer.why) text += reason_words(reason);
  return text;
}

std::string train_json(const TrainAnswer& a) {
  json document = {{"schema", "halfarc.train/1"}, {"name", a.rig.name},     {"in_reach", a.train.in_reach},
                   {"parts", json::array()},      {"cautions", a.cautions}, {"why", json::array()}};
  for (const PlacedPart& placed : a.train.parts) document["parts"].push_back(part_of(placed));
  for (const PlaneSampling& p : a.sampling) {
    document["sampling"][p.plane] = {{"frame_holds_everything", p.frame.holds_everything},
                                     {"stack_holds_everything", p.stack.holds_everything}};
  }
  if (a.change) {
    document["change"] = {{"part", a.change->part}, {"direction", a.change->direction}, {"words", a.change->words}};
  }
  if (a.target) add_target(document, *a.target);
  for (const Reason& reason : a.why) {
    document[json::json_pointer("/" + reason.field)] = shown(reason);
    document["why"].push_back(why_of(reason));
  }
  return document.dump(2);
}

}  // namespace halfarc
