#include "halfarc/app/rig_night_words.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>

#include "halfarc/app/rounded.h"
#include "halfarc/app/when.h"

namespace halfarc {
namespace {

using nlohmann::json;

constexpr Angle kWorthTrimming = Angle::arcsec(0.1);

Angle fringes(const LeverRow& row) { return row.blue_minus_green - row.red_minus_green; }

const char* name_of(Settling::Verdict verdict) {
  switch (verdict) {
    case Settling::Verdict::settles:
      return "settles";
    case Settling::Verdict::falling_air:
      return "falling air";
    case Settling::Verdict::cold_tube:
      return "cold tube";
    case Settling::Verdict::needs_longer:
      break;
  }
  return "needs longer";
}

}  // namespace

std::string cooling_words(const CoolingClock& c) {
  const std::string out = clock(c.out), ready = clock(c.ready);
  const std::string warm = fmt::format(
      "the mirror is {:.1f} K warmer than the air in the tube at {}, which blurs by "
      "about {:.1f}\"",
      c.then.kelvin(), ready, c.seeing.value.arcsec());
  switch (c.settling.verdict) {
    case Settling::Verdict::settles:
      if (c.settling.after && c.out + *c.settling.after <= c.ready)
        return fmt::format("carry the tube out by {} to be within {:.0f} K of the air at {}", out, c.within.kelvin(),
                           ready);
      return fmt::format("even carried out at {} {}", out, warm);
    case Settling::Verdict::falling_air:
      return fmt::format("it never settles while the air falls like this: {}; run a fan or wrap the tube", warm);
    case Settling::Verdict::cold_tube:
      return fmt::format("it never settles, because the sky keeps the tube cold: {}; wrap the tube", warm);
    case Settling::Verdict::needs_longer:
      break;
  }
  return fmt::format("even carried out at {} {}; a fan helps", out, warm);
}

std::string dew_words(const DewClock& c) {
  const double margin = c.at_first.margin.kelvin();
  const std::string error = fmt::format("{:.1f} +- {:.1f} K", std::abs(margin), c.at_first.margin_sigma.kelvin());
  if (margin <= 0.0)
    return "the front glass starts " + error + " below the dew point: shield and heater from the start";
  if (c.fogs)
    return fmt::format("the front glass starts {} above the dew point and fogs about {}: look at it before then", error,
                       clock(*c.fogs));
  return fmt::format("the front glass starts {} above the dew point and keeps clear until {}", error, clock(c.until));
}

double highest_peak(const ExposureChoice& e) {
  return std::max({e.histograms[0].peak, e.histograms[1].peak, e.histograms[2].peak});
}

std::string exposure_words(const ExposureChoice& e) {
  return fmt::format("{:.3g} ms at {:.2g} e/ADU, brightest {:.0f} % of full scale, {:.0f} frames/s, {:.1f} GB a minute",
                     e.exposure.ms(), e.e_per_adu, 100.0 * highest_peak(e), e.frames.per_s, e.gigabytes_per_minute);
}

std::string lever_words(const LeverRow& row) {
  if (!row.levers) return {};
  std::string text = fmt::format("{:.1f} marks", row.levers->marks);
  if (!row.levers->enough) text += fmt::format(" ({:.1f}\" is left)", row.levers->left.arcsec());
  return text;
}

std::string lever_course(const TargetRig& target, std::size_t most) {
  std::vector<LeverRow> rows;
  for (const LeverRow& row : target.rows) {
    if (rows.empty() || abs(fringes(row) - fringes(rows.back())) >= kWorthTrimming) rows.push_back(row);
  }
  std::string text;
  const std::size_t shown = std::min(most, rows.size());
  for (std::size_t i = 0; i < shown; ++i) {
    const LeverRow& row = rows[shown < 2 ? 0 : i * (rows.size() - 1) / (shown - 1)];
    if (!row.levers) return {};
    text += fmt::format("{}{} {:.1f}", i == 0 ? "" : ", ", clock(row.at), row.levers->marks);
  }
  return text;
}

std::string air_words(const NightAir& air) {
  return fmt::format("{}{:.0f} degC and {:.0f} % humidity at sunset, falling by {:.1f} K an hour",
                     air.assumed ? "assumed: " : "", air.evening.celsius(), 100.0 * air.relative_humidity,
                     air.fall_per_hour.kelvin());
}

std::string rig_night_json(const RigNight& night) {
  json document = {{"name", night.rig.name},
                   {"air",
                    {{"evening_degc", rounded(night.air.evening.celsius(), 1)},
                     {"fall_k_per_h", rounded(night.air.fall_per_hour.kelvin(), 2)},
                     {"humidity", rounded(night.air.relative_humidity, 3)},
                     {"assumed", night.air.assumed}}},
                   {"targets", json::array()}};
  if (night.cooling) {
    const CoolingClock& c = *night.cooling;
    document["cooling"] = {{"out", c.out.iso(0)},
                           {"ready", c.ready.iso(0)},
                           {"within_k", c.within.kelvin()},
                           {"verdict", name_of(c.settling.verdict)},
                           {"mirror_over_air_k", rounded(c.then.kelvin(), 2)},
                           {"seeing_arcsec", rounded(c.seeing.value.arcsec(), 2)},
                           {"seeing_sigma_arcsec", rounded(c.seeing.sigma.arcsec(), 2)},
                           {"words", cooling_words(c)}};
  }
  if (night.dew) {
    const DewClock& c = *night.dew;
    document["dew"] = {{"margin_k", rounded(c.at_first.margin.kelvin(), 2)},
                       {"sigma_k", rounded(c.at_first.margin_sigma.kelvin(), 2)},
                       {"words", dew_words(c)}};
    if (c.fogs) document["dew"]["fogs"] = c.fogs->iso(0);
  }
  for (const TargetRig& target : night.targets) {
    json rows = json::array();
    for (const LeverRow& row : target.rows) {
      json r = {{"utc", row.at.iso(0)},
                {"altitude_deg", rounded(row.altitude.deg(), 2)},
                {"red_minus_green_arcsec", rounded(row.red_minus_green.arcsec(), 3)},
                {"blue_minus_green_arcsec", rounded(row.blue_minus_green.arcsec(), 3)},
                {"inside_green_arcsec", rounded(row.inside_green.arcsec(), 3)}};
      if (row.levers) {
        r["lever_marks"] = rounded(row.levers->marks, 2);
        r["left_arcsec"] = rounded(row.levers->left.arcsec(), 3);
      }
      rows.push_back(std::move(r));
    }
    json t = {{"target", std::string(sky::name_of(target.body))}, {"fringes", std::move(rows)}};
    if (target.exposure) {
      const ExposureChoice& e = *target.exposure;
      t["exposure"] = {{"ms", rounded(e.exposure.ms(), 3)},
                       {"e_per_adu", rounded(e.e_per_adu, 4)},
                       {"peak_fraction", rounded(highest_peak(e), 3)},
                       {"frames_per_s", rounded(e.frames.per_s, 1)},
                       {"gigabytes_per_minute", rounded(e.gigabytes_per_minute, 2)}};
    }
    document["targets"].push_back(std::move(t));
  }
  return document.dump();
}

}  // namespace halfarc
