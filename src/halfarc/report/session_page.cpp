#include "halfarc/report/session_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

#include "halfarc/report/base64.h"
#include "halfarc/report/markup.h"
#include "halfarc/report/print_style.h"
#include "halfarc/report/seeing_chart.h"
#include "halfarc/report/session_text.h"

namespace halfarc {
namespace {

constexpr std::string_view kStyle = R"(
p { margin: 0 0 1mm; }
thead th { border-bottom: 0.2mm solid #999; width: auto; }
.number { text-align: right; white-space: nowrap; }
.total td, .total th { border-top: 0.2mm solid #999; font-weight: bold; color: #111; }
.cause { width: 48mm; }
.hour { width: 14mm; }
.small { color: #444; font-size: 8.5pt; }
.images { display: flex; flex-wrap: wrap; gap: 4mm; }
figure { margin: 2mm 0; width: 56mm; break-inside: avoid; }
figure img { width: 100%; display: block; background: #000; }
figcaption { font-size: 8.5pt; color: #444; overflow-wrap: anywhere; }
)";

std::string row(std::initializer_list<std::pair<std::string_view, std::string>> cells) {
  std::string html = "<tr>";
  for (const auto& [kind, text] : cells)
    html += kind.empty() ? fmt::format("<td>{}</td>", escaped(text))
                         : fmt::format("<td class='{}'>{}</td>", kind, escaped(text));
  return html + "</tr>\n";
}

std::string next_section(const Session& session) {
  if (session.next.empty()) return {};
  std::string html = "<h2>What to change next time, by what half-arc detail gains</h2>\n<table>\n";
  for (const NextTime& next : session.next) {
    html += fmt::format("<tr><td class='number hour'>{}</td><td>{} <span class='small'>({})</span></td></tr>\n",
                        escaped(gain_words(next.gain)), escaped(next.remedy), escaped(ground_words(next)));
  }
  return html + "</table>\n";
}

std::string images_section(const Session& session) {
  if (session.images.empty()) return {};
  std::string html = "<h2>Images</h2>\n<div class='images'>\n";
  for (const SessionImage& image : session.images) {
    html += "<figure>";
    if (!image.picture.png.empty())
      html +=
          fmt::format("<img alt='{}' src='data:image/png;base64,{}'>", escaped(image.name), base64(image.picture.png));
    html += fmt::format("<figcaption>{}</figcaption></figure>\n", escaped(image_words(image)));
  }
  return html + "</div>\n";
}

std::string budget_section(const SessionBudget& budget) {
  std::string html =
      fmt::format("<h2>What blurred {}, {:.0f}° high</h2>\n<table>\n", escaped(budget.target), budget.altitude.deg());
  html +=
      "<thead><tr><th>contrast left of half-arc detail</th><th class='number'>predicted</th><th "
      "class='number'>measured</th><th class='number'>to gain</th><th></th></tr></thead>\n";
  const auto share = [](const std::optional<Measured<double>>& s) { return s ? share_words(*s) : std::string("-"); };
  for (const SessionCause& c : budget.causes)
    html += row({{"cause", c.cause},
                 {"number", share(c.predicted)},
                 {"number", share(c.measured)},
                 {"number", c.gain ? gain_words(*c.gain) : std::string("undone")},
                 {"small", c.because}});
  html += fmt::format(
      "<tr class='total'><td>all together</td><td class='number'>{}</td><td "
      "class='number'>{}</td><td></td><td></td></tr>\n"
      "</table>\n",
      share_words(budget.predicted), share_words(budget.measured));
  for (const std::string& note : budget.notes) html += fmt::format("<p class='small'>{}</p>\n", escaped(note));
  return html;
}

std::string hours_section(const Session& session) {
  std::string html = "<h2>Hour by hour</h2>\n<table>\n";
  for (const SessionLine& line : session.lines) {
    const Utc::Civil c = line.utc.civil();
    html += row({{"hour", fmt::format("{:02d}:{:02d}", c.hour, c.minute)}, {"", line.words}});
  }
  return html + "</table>\n";
}

}  // namespace

std::string session_page(const Session& session) {
  const std::string title =
      "The night of " + date_words(session.date) + (session.place.empty() ? "" : ", " + session.place);
  std::string html = fmt::format(
      "<!DOCTYPE html>\n<html lang='en'>\n<head>\n<meta charset='utf-8'>\n"
      "<meta name='viewport' content='width=device-width, initial-scale=1'>\n<title>{0}</title>\n"
      "<style>{1}{2}</style>\n</head>\n<body>\n<h1>{0}</h1>\n",
      escaped(title), kPrintStyle, kStyle);
  if (!session.telescope.empty()) html += "<p>" + escaped(session.telescope) + "</p>\n";
  html += fmt::format("<p>{} recordings, {} turns of the hand, {} images, {} notes. All times UT.</p>\n",
                      session.recordings, session.turns, session.images.size(), session.notes);
  html += next_section(session) + images_section(session);
  for (const SessionBudget& budget : session.budgets) html += budget_section(budget);
  for (const std::string& remark : session.remarks) html += "<p>" + escaped(remark) + "</p>\n";
  if (!session.seeing.empty())
    html += "<h2>Seeing: width of a star at the zenith, 500 nm</h2>\n" + seeing_chart(session.seeing);
  html += hours_section(session);
  html +=
      "<p class='small'>Every figure is an estimate with an error. No single recording shows that a sky or a telescope "
      "is bad.</p>\n";
  return html + "</body>\n</html>\n";
}

}  // namespace halfarc
