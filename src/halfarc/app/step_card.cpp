#include "halfarc/app/step_card.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string_view>
#include <vector>

namespace halfarc {
namespace {

using nlohmann::json;

// The one number by which a step is followed, and its words.
struct StepReading {
  double value = 0.0;
  std::optional<double> sigma;
  std::string unit;
  std::string words;
};

struct CardStep {
  std::string_view name;
  std::string_view title;
  std::optional<StepReading> (*read)(const json& check);
  std::string_view controls;  // of the advice that belongs here, each with a space behind it
};

const json* at(const json& check, const char* block, const char* key) {
  const auto found = check.find(block);
  if (found == check.end() || !found->is_object()) return nullptr;
  const auto value = found->find(key);
  return value == found->end() ? nullptr : &*value;
}

std::optional<double> number(const json& check, const char* block, const char* key) {
  const json* value = at(check, block, key);
  return value != nullptr && value->is_number() ? std::optional(value->get<double>()) : std::nullopt;
}

std::optional<double> length(const json& check, const char* block, const char* key) {
  const json* pair = at(check, block, key);
  if (pair == nullptr || !pair->is_array() || pair->size() != 2) return std::nullopt;
  return std::hypot((*pair)[0].get<double>(), (*pair)[1].get<double>());
}

StepReading reading(double value, std::optional<double> sigma, std::string unit, std::string_view what) {
  std::string words = sigma ? fmt::format("{} {:.2f} +- {:.2f} {}", what, value, *sigma, unit)
                            : fmt::format("{} {:.2f} {}", what, value, unit);
  return {value, sigma, std::move(unit), std::move(words)};
}

std::optional<StepReading> cool(const json& check) {
  const auto plume = number(check, "donut", "plume_waves");
  if (!plume) return std::nullopt;
  return reading(*plume, number(check, "donut", "plume_sigma_waves"), "waves", "warm air in the tube:");
}

std::optional<StepReading> collimate(const json& check) {
  const auto coma = length(check, "donut", "coma_waves");
  if (!coma) return std::nullopt;
  return reading(*coma, number(check, "donut", "sigma_waves"), "waves", "coma");
}

std::optional<StepReading> train(const json& check) {
  const auto scale = number(check, "scale", "arcsec_per_px");
  if (!scale) return std::nullopt;
  return reading(*scale, number(check, "scale", "sigma"), "arcsec/px", "scale");
}

std::optional<StepReading> find(const json& check) {
  const std::string kind = check.value("kind", "");
  if (kind.empty()) return std::nullopt;
  const bool empty = kind == "empty";
  return StepReading{empty ? 0.0 : 1.0, std::nullopt, "", empty ? "nothing is in the picture" : "found: a " + kind};
}

std::optional<StepReading> disperse(const json& check) {
  if (const auto along = number(check, "dispersion", "along_zenith_arcsec"))
    return reading(*along, number(check, "dispersion", "sigma_arcsec"), "arcsec",
                   "red against blue, along the zenith:");
  const json* red = at(check, "dispersion", "red_minus_green_px");
  const json* blue = at(check, "dispersion", "blue_minus_green_px");
  if (red == nullptr || blue == nullptr) return std::nullopt;
  const double split = std::hypot((*blue)[0].get<double>() - (*red)[0].get<double>(),
                                  (*blue)[1].get<double>() - (*red)[1].get<double>());
  return reading(split, number(check, "dispersion", "sigma_px"), "px", "red against blue:");
}

std::optional<StepReading> focus(const json& check) {
  if (const auto waves = number(check, "donut", "defocus_waves"))
    return reading(*waves, number(check, "donut", "sigma_waves"), "waves", "out of focus by");
  const auto sharpness = number(check, "sharpness", "best_5_percent");
  if (!sharpness) return std::nullopt;
  return reading(100.0 * *sharpness, std::nullopt, "%", "contrast of the sharpest frames:");
}

std::optional<StepReading> expose(const json& check) {
  const auto peak = number(check, "exposure", "peak_fraction");
  if (!peak || check.value("kind", "") == "empty") return std::nullopt;
  return reading(100.0 * *peak, std::nullopt, "%", "brightest sample:");
}

std::optional<StepReading> record(const json& check) {
  const auto seeing = number(check, "seeing", "fwhm_arcsec");
  if (!seeing) return std::nullopt;
  return reading(*seeing, number(check, "seeing", "sigma"), "arcsec", "seeing");
}

constexpr std::array<CardStep, 8> kSteps{{{"cool", "Let it cool", cool, "cooling "},
                                          {"collimate", "Collimate", collimate, "screw-a screw-b screw-c "},
                                          {"train", "Build the train", train, "spacing "},
                                          {"find", "Find the target", find, "altitude azimuth "},
                                          {"disperse", "Set the levers", disperse, "levers roll "},
                                          {"focus", "Focus", focus, "focus "},
                                          {"expose", "Expose", expose, "exposure "},
                                          {"record", "Record", record, ""}}};

json parsed(const std::string& document) {
  json check = json::parse(document, nullptr, false);
  return check.is_object() ? check : json::object();
}

std::string when(const json& check, const ShelvedClip& clip) { return check.value("mid_utc", clip.written.iso()); }

json step_json(const CardStep& step, std::span<const CheckedEntry> entries, std::span<const json> checks) {
  json said{{"step", step.name}, {"title", step.title}, {"advice", json::array()}, {"trend", json::array()}};
  for (std::size_t i = 0; i < checks.size(); ++i) {
    const auto found = step.read(checks[i]);
    if (!found) continue;
    const std::string utc = when(checks[i], entries[i].clip);
    json point{{"utc", utc}, {"value", found->value}};
    json last{{"utc", utc}, {"recording", entries[i].clip.id}, {"words", found->words}, {"value", found->value}};
    if (found->sigma) point["sigma"] = last["sigma"] = *found->sigma;
    if (!found->unit.empty()) last["unit"] = found->unit;
    said["trend"].push_back(std::move(point));
    said["last"] = std::move(last);
    said["advice"] = json::array();  // advice is of the reading that stands
    for (const json& one : checks[i].value("advice", json::array())) {
      if (step.controls.find(one.value("control", "?") + " ") != std::string_view::npos) said["advice"].push_back(one);
    }
  }
  return said;
}

std::string as_text(const json& document) { return document.dump(-1, ' ', false, json::error_handler_t::replace); }

// All that a check says, what the hand is to do first: a list shows no more than its beginning.
std::string words_of(const json& check) {
  std::vector<std::string> lines;
  const auto say = [&](const json& line) {
    if (!line.is_string() || line.get<std::string>().empty()) return;
    if (std::find(lines.begin(), lines.end(), line.get<std::string>()) == lines.end()) lines.push_back(line);
  };
  const json said = check.value("words", json::array());
  for (const json& one : check.value("advice", json::array())) {
    const json line = one.value("words", json());
    if (std::find(said.begin(), said.end(), line) != said.end()) say(line);
  }
  for (const json& line : said) say(line);
  std::string words;
  for (const std::string& line : lines) words += (words.empty() ? "" : " ") + line;
  return words;
}

}  // namespace

std::string recording_json(const CheckedEntry& entry) {
  const json check = parsed(entry.document);
  json said{{"id", entry.clip.id},
            {"name", entry.clip.name},
            {"path", entry.clip.name},
            {"words", std::string()},
            {"checked", !entry.document.empty()},
            {"mid_utc", when(check, entry.clip)}};
  said["words"] = words_of(check);
  if (check.contains("kind")) said["kind"] = check["kind"];
  if (check.contains("target")) said["target"] = check["target"];
  if (const auto frames = number(check, "recording", "frames")) said["frames"] = std::llround(*frames);
  if (!entry.image.empty()) said["image"] = entry.image;
  return as_text(said);
}

std::string step_card_json(const std::string& night, std::span<const CheckedEntry> entries) {
  std::vector<json> checks;
  for (const CheckedEntry& entry : entries) checks.push_back(parsed(entry.document));
  json card{{"night", night}, {"steps", json::array()}};
  for (const CardStep& step : kSteps) card["steps"].push_back(step_json(step, entries, checks));
  return as_text(card);
}

std::string advice_json(const std::string& document) {
  return as_text(parsed(document).value("advice", json::array()));
}

}  // namespace halfarc
