#include "halfarc/app/log_table.h"

#include <fmt/format.h>

#include <optional>
#include <string>

#include "halfarc/app/night_log.h"

namespace halfarc {
namespace {

// A cell of a table of commas. Source: RFC 4180, 2.5 to 2.7.
std::string cell(std::string_view text) {
  if (text.find_first_of(",\"\r\n") == std::string_view::npos) return std::string(text);
  std::string quoted = "\"";
  for (const char c : text) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  return quoted + "\"";
}

std::string number(const std::optional<double>& value) { return value ? fmt::format("{}", *value) : std::string(); }

// One row; what does not apply stays empty.
struct TableRow {
  std::string_view what, name, unit, text;
  Utc utc;
  std::optional<double> value, sigma;
};

std::string line_of(const NightRow& night, const TableRow& row) {
  return fmt::format("{},{},{},{},{},{},{},{},{},{}\r\n", night.id, night.date, cell(night.site), row.utc.iso(3),
                     row.what, cell(row.name), number(row.value), number(row.sigma), cell(row.unit), cell(row.text));
}

std::string lines_of(const NightLog& log) {
  std::string text;
  for (const LoggedRecording& r : log.recordings) {
    const auto frames = static_cast<double>(r.row.frames);
    text += line_of(log.night, {"recording", r.row.kind, "frames", r.row.path, r.row.start, frames, {}});
    for (const KeptReading& kept : r.readings) {
      const ReadingRow& reading = kept.reading;
      text += line_of(log.night,
                      {"reading", reading.name, reading.unit, r.row.path, r.row.start, reading.value, reading.sigma});
    }
  }
  for (const TurnRow& t : log.turns)
    text += line_of(log.night, {"turn", t.control, t.unit, "", t.utc, t.amount, std::nullopt});
  for (const ImageRow& i : log.images)
    text += line_of(log.night, {"image", "resolved", "arcsec", i.path, i.utc, i.resolved_arcsec, i.resolved_sigma});
  for (const NoteRow& n : log.notes)
    text += line_of(log.night, {"note", "wind", n.wind_m_per_s ? "m/s" : "", n.text, n.utc, n.wind_m_per_s, {}});
  return text;
}

}  // namespace

Result<void> export_csv(const Database& database, const TextSink& sink) {
  HALFARC_TRY(const auto all, nights(database, {}));
  HALFARC_CHECK(sink("night,date,site,utc,what,name,value,sigma,unit,text\r\n"));
  for (const NightRow& row : all) {
    HALFARC_TRY(const NightLog log, night_log(database, row));
    if (const std::string lines = lines_of(log); !lines.empty()) HALFARC_CHECK(sink(lines));
  }
  return {};
}

}  // namespace halfarc
