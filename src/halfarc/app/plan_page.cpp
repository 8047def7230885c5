#include "halfarc/app/plan_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "halfarc/app/plan_chart.h"
#include "halfarc/app/rig_night_words.h"
#include "halfarc/app/when.h"
#include "halfarc/report/markup.h"

namespace halfarc {
namespace {

std::string clock(const std::optional<Utc>& t) { return t ? clock(*t) : std::string("&#8211;"); }

constexpr std::string_view kStyle = R"(
@page { size: A4 portrait; margin: 12mm; }
* { box-sizing: border-box; }
body { font: 10.5pt/1.35 "Liberation Sans", "Helvetica Neue", Arial, sans-serif; color: #111; background: #fff;
       max-width: 186mm; margin: 0 auto; padding: 4mm 0; }
h1 { font-size: 16pt; margin: 0; }
h2 { font-size: 11pt; margin: 3mm 0 1mm; border-bottom: 0.3mm solid #111; }
p { margin: 1mm 0; }
svg { width: 100%; height: auto; display: block; margin: 2mm 0; }
svg text { font: 9px "Liberation Sans", Arial, sans-serif; fill: #333; }
svg text.name { font-weight: bold; font-size: 10px; paint-order: stroke; stroke: #fff; stroke-width: 2.5px; }
table { border-collapse: collapse; width: 100%; font-size: 9pt; }
th { text-align: left; font-weight: bold; border-bottom: 0.2mm solid #777; }
td, th { padding: 0.5mm 2mm 0.5mm 0; vertical-align: top; }
td.n, th.n { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }
.two { display: grid; grid-template-columns: 2fr 1fr; gap: 0 6mm; }
.notes { list-style: none; margin: 0; padding: 0; font-size: 9pt; }
.notes li { padding-left: 11mm; text-indent: -11mm; }
.notes b { display: inline-block; width: 11mm; text-indent: 0; font-variant-numeric: tabular-nums; }
.care { font-size: 8.5pt; margin: 0; padding-left: 4mm; }
@media print { body { font-size: 9.5pt; padding: 0; max-width: none; } svg { width: 74%; margin: 0 auto; } h2 { margin-top: 1.5mm; }
  td, th { padding: 0.25mm 2mm 0.25mm 0; line-height: 1.2; } .notes li { line-height: 1.25; } p { margin: 0.5mm 0; }
  table, .notes { font-size: 8.2pt; } .care { font-size: 8pt; } }
@media (max-width: 600px) { .two { grid-template-columns: 1fr; } body { padding: 4mm; } .w { display: none; }
  svg { width: 200%; } .chart { overflow-x: auto; } }
)";

std::string targets_table(const NightPlan& plan) {
  std::string html =
      "<table><thead><tr><th>Target</th><th class='n'>Disc</th><th class='n w'>Mag</th><th "
      "class='n w'>Lit</th><th>NightWindow</th>"
      "<th>Why</th><th class='n w'>Airmass</th><th class='n w'>Red&#8211;blue</th></tr></thead><tbody>\n";
  for (const TargetNight& t : plan.targets) {
    const std::string head =
        fmt::format("<td>{}</td><td class='n'>{:.1f}&quot;</td><td class='n w'>{}</td><td class='n w'>{:.0f} %</td>",
                    name_of(t.body), t.diameter.arcsec(), t.magnitude ? fmt::format("{:.1f}", *t.magnitude) : "",
                    100.0 * t.illuminated_fraction);
    if (t.windows.empty()) {
      html += fmt::format("<tr>{}<td colspan='4'>no window: {}</td></tr>\n", head, escaped(t.none_because));
      continue;
    }
    // Two windows a target keep the page to one sheet.
    for (std::size_t i = 0; i < std::min<std::size_t>(2, t.windows.size()); ++i) {
      const NightWindow& w = t.windows[i];
      html += fmt::format(
          "<tr>{}<td class='n'>{}&#8211;{}</td><td>{}</td><td class='n w'>{:.2f}</td><td "
          "class='n w'>{:.1f}&quot;</td></tr>\n",
          i == 0 ? head : std::string("<td colspan='4'></td>"), clock(w.begins), clock(w.ends), escaped(w.reason),
          w.airmass, w.dispersion.arcsec());
    }
  }
  return html + "</tbody></table>\n";
}

std::string rig_section(const RigNight& rig) {
  if (!rig.cooling) return {};
  std::string html = fmt::format("<h2>The rig</h2>\n<p>{}; {}.</p>\n<p><b>Cooling:</b> {}. <b>Dew:</b> {}.</p>\n",
                                 escaped(rig.rig.name), escaped(air_words(rig.air)),
                                 escaped(cooling_words(*rig.cooling)), escaped(dew_words(*rig.dew)));
  html +=
      "<table><thead><tr><th>Target</th><th class='n'>Fringes</th><th>Levers at its best</th><th class='w'>through the "
      "night</th>"
      "<th class='n'>ms</th><th class='n w'>e/ADU</th><th class='n w'>Peak</th><th class='n'>Frames/s</th>"
      "<th class='n w'>GB/min</th></tr></thead><tbody>\n";
  for (const TargetRig& target : rig.targets) {
    const Angle fringes = target.best.blue_minus_green - target.best.red_minus_green;
    html +=
        fmt::format("<tr><td>{}</td><td class='n'>{:.1f}&quot;</td><td>{}</td><td class='w'>{}</td>",
                    name_of(target.body), fringes.arcsec(), escaped(lever_words(target.best)), lever_course(target, 3));
    if (const auto& e = target.exposure) {
      html += fmt::format(
          "<td class='n'>{:.1f}</td><td class='n w'>{:.2f}</td><td class='n w'>{:.0f} %</td><td class='n'>{:.0f}</td>"
          "<td class='n w'>{:.1f}</td>",
          e->exposure.ms(), e->e_per_adu, 100.0 * highest_peak(*e), e->frames.per_s, e->gigabytes_per_minute);
    }
    html += "</tr>\n";
  }
  return html + "</tbody></table>\n";
}

std::string notes_list(const std::vector<NightNote>& notes, std::size_t most) {
  std::string html = "<ul class='notes'>\n";
  for (std::size_t i = 0; i < std::min(most, notes.size()); ++i) {
    html += fmt::format("<li><b>{}</b>{}</li>\n", clock(notes[i].at), escaped(notes[i].words));
  }
  if (notes.size() > most) html += fmt::format("<li>and {} more</li>\n", notes.size() - most);
  return html + "</ul>\n";
}

std::string sun_line(const sky::Night& n) {
  if (n.sun_never_sets()) return "The Sun does not set.";
  if (n.sun_never_rises()) {
    return fmt::format("The Sun does not rise. Fully dark {} to {}.", clock(n.astronomical.begins),
                       clock(n.astronomical.ends));
  }
  std::string text = fmt::format("Sun down {} to {}. ", clock(n.sun_down.begins), clock(n.sun_down.ends));
  if (!n.astronomical.begins)
    return text + fmt::format("It does not get fully dark: the Sun sinks to {:.0f}&#176;.", n.lowest_sun.deg());
  return text + fmt::format("Fully dark {} to {}.", clock(n.astronomical.begins), clock(n.astronomical.ends));
}

}  // namespace

std::string plan_page(const NightPlan& plan) {
  const sky::Site& s = plan.asked.site;
  const Utc local_noon = plan.asked.noon + Duration::hours(s.longitude.deg() / 15.0);
  const std::string date = local_noon.iso(0).substr(0, 10);
  std::string html = fmt::format(
      "<!doctype html>\n<html lang='en'><head><meta charset='utf-8'><meta name='viewport' content='width=device-width'>"
      "<title>The night of {}</title><style>{}</style></head><body>\n",
      date, kStyle);
  html +=
      fmt::format("<h1>The night of {}</h1>\n<p>{}{:.2f}&#176; {}, {:.2f}&#176; {}, {:.0f} m. All times UTC. {}</p>\n",
                  date, plan.asked.site_name.empty() ? std::string() : escaped(plan.asked.site_name) + ", ",
                  std::abs(s.latitude.deg()), s.latitude.rad() < 0.0 ? 'S' : 'N', std::abs(s.longitude.deg()),
                  s.longitude.rad() < 0.0 ? 'W' : 'E', s.height.m(), sun_line(plan.night));
  html += "<div class='chart'>" + plan_chart(plan) + "</div>\n";
  html +=
      "<p>Thick: can be recorded. Dashed: too low, behind the traced horizon, or too light. Darker ground: deeper "
      "twilight.</p>\n";
  html += "<h2>Targets, the best first</h2>\n" + targets_table(plan);
  if (plan.rig) html += rig_section(*plan.rig);
  html += "<div class='two'><section><h2>Do this</h2>\n" + notes_list(plan.tasks, 12) + "</section>\n";
  html += "<section><h2>Events</h2>\n" + notes_list(plan.events, 20) + "</section></div>\n";
  html += "<h2>Take care</h2>\n<ul class='care'>\n";
  for (const std::string& c : plan.cautions) html += "<li>" + escaped(c) + "</li>\n";
  return html + "</ul>\n</body></html>\n";
}

}  // namespace halfarc
