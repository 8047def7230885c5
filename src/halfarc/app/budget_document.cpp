#include "halfarc/app/budget_document.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>

#include "halfarc/app/rounded.h"

namespace halfarc {
namespace {

using nlohmann::json;

constexpr double kWorthDoing = 0.05;
constexpr int kBarWidth = 20;

json row_of(const BudgetRow& row) {
  json j = {{"cause", std::string(name_of(row.blur.cause))},
            {"half_arc_contrast", rounded(row.half_arc_contrast.value, 4)},
            {"sigma", rounded(row.half_arc_contrast.sigma, 4)},
            {"fwhm_arcsec", rounded(row.fwhm.value.arcsec(), 3)},
            {"fwhm_sigma_arcsec", rounded(row.fwhm.sigma.arcsec(), 3)},
            {"gain", rounded(row.gain, 4)},
            {"source", row.blur.measured ? "measured" : "predicted"},
            {"undone_afterwards", row.blur.undone},
            {"because", row.blur.because}};
  if (!remedy_of(row.blur.cause).empty()) j["remedy"] = std::string(remedy_of(row.blur.cause));
  return j;
}

json table_of(const Budget& budget) {
  json rows = json::array();
  for (const BudgetRow& row : budget.rows) rows.push_back(row_of(row));
  return {{"rows", std::move(rows)},
          {"half_arc_contrast", rounded(budget.half_arc_contrast.value, 4)},
          {"sigma", rounded(budget.half_arc_contrast.sigma, 4)},
          {"fwhm_arcsec", rounded(budget.fwhm.value.arcsec(), 3)},
          {"fwhm_sigma_arcsec", rounded(budget.fwhm.sigma.arcsec(), 3)},
          {"next", what_next(budget)}};
}

std::string bar(double contrast) {
  const int full = static_cast<int>(std::lround(std::clamp(contrast, 0.0, 1.0) * kBarWidth));
  return std::string(static_cast<std::size_t>(full), '#') +
         std::string(static_cast<std::size_t>(kBarWidth - full), '.');
}

std::string gain_words(double gain) {
  return gain >= 0.005 ? fmt::format("{:+.0f} %", 100.0 * gain) : std::string("-");
}

std::string row_words(const BudgetRow& row) {
  return fmt::format("  {:<30} {} {:>3.0f} % +-{:>2.0f}  {:>5.2f}\"  {:>6}  {}\n", words_of(row.blur.cause),
                     bar(row.half_arc_contrast.value), 100.0 * row.half_arc_contrast.value,
                     100.0 * row.half_arc_contrast.sigma, row.fwhm.value.arcsec(),
                     row.blur.undone ? "undone" : gain_words(row.gain),
                     (row.blur.measured ? "measured: " : "") + row.blur.because);
}

std::string table_words(const Budget& budget) {
  std::string text =
      fmt::format("  {:<30} {:<20} {:>9}  {:>6}  {:>6}\n", "", "contrast left at 1\" period", "", "as a", "gain if");
  text += fmt::format("  {:<30} {:<20} {:>9}  {:>6}  {:>6}\n", "cause", "(half-arc detail)", "", "blur", "mended");
  for (const BudgetRow& row : budget.rows) text += row_words(row);
  text += fmt::format("  {:<30} {} {:>3.0f} % +-{:>2.0f}  {:>5.2f}\"\n", "all together",
                      bar(budget.half_arc_contrast.value), 100.0 * budget.half_arc_contrast.value,
                      100.0 * budget.half_arc_contrast.sigma, budget.fwhm.value.arcsec());
  return text + "\nNext: " + what_next(budget) + ".\n";
}

}  // namespace

std::string what_next(const Budget& budget) {
  for (const BudgetRow& row : budget.rows) {  // the greatest gain first
    const bool by_hand = row.blur.cause != Cause::diffraction && row.blur.cause != Cause::air &&
                         row.blur.cause != Cause::pixels && !remedy_of(row.blur.cause).empty();
    if (!by_hand || row.blur.undone) continue;
    const bool certain = 1.0 - row.half_arc_contrast.value > row.half_arc_contrast.sigma;
    if (row.gain < kWorthDoing || !certain) continue;
    const std::string gain = row.gain < 1.0 ? fmt::format("{:.0f} % more", 100.0 * row.gain)
                                            : fmt::format("{:.1f} times the", 1.0 + row.gain);
    return fmt::format("{}: {}; {} contrast in half-arcsecond detail", words_of(row.blur.cause),
                       remedy_of(row.blur.cause), gain);
  }
  return "leave it alone, go and record: nothing that a hand can change would surely gain 5 %";
}

std::string budget_json(const BlurBudget& budget) {
  json document = {{"schema", "halfarc.budget/1"},
                   {"target", std::string(name_of(budget.asked.target))},
                   {"utc", budget.asked.utc.iso(0)},
                   {"rig", budget.asked.rig.name},
                   {"altitude_deg", rounded(budget.altitude.deg(), 2)},
                   {"wavelength_nm", rounded(budget.wavelength.nm(), 1)},
                   {"exposure_ms", rounded(budget.exposure.ms(), 3)},
                   {"run_s", rounded(budget.asked.state.run.s(), 1)},
                   {"predicted", table_of(budget.predicted)},
                   {"notes", budget.notes}};
  if (budget.measured) document["measured"] = table_of(*budget.measured);
  return document.dump(2);
}

std::string budget_words(const BlurBudget& budget) {
  std::string text = fmt::format("{} at {}, {:.0f} deg high, through {}; {:.3g} ms, {:.0f} s, green light\n",
                                 name_of(budget.asked.target), budget.asked.utc.iso(0), budget.altitude.deg(),
                                 budget.asked.rig.name, budget.exposure.ms(), budget.asked.state.run.s());
  if (budget.measured) {
    text += "\nMeasured where the recording can say, predicted elsewhere\n" + table_words(*budget.measured);
    text += fmt::format("Predicted before the recording: {:.0f} % +- {:.0f} of half-arc contrast, {:.2f}\".\n",
                        100.0 * budget.predicted.half_arc_contrast.value,
                        100.0 * budget.predicted.half_arc_contrast.sigma, budget.predicted.fwhm.value.arcsec());
  } else {
    text += "\nPredicted\n" + table_words(budget.predicted);
  }
  for (const std::string& note : budget.notes) text += "Note: " + note + "\n";
  return text;
}

}  // namespace halfarc
