#include "halfarc/app/log_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "halfarc/app/keep_log.h"
#include "halfarc/app/when.h"

namespace halfarc {
namespace {

std::string counted(std::int64_t count, std::string_view thing) {
  return fmt::format("{} {}{}", count, thing, count == 1 ? "" : "s");
}

// As many decimals as the error leaves meaning: its first two digits.
std::string with_error(double value, double sigma) {
  const int decimals = sigma > 0.0 ? std::clamp(1 - static_cast<int>(std::floor(std::log10(sigma))), 0, 4) : 2;
  return fmt::format("{:.{}f} ± {:.{}f}", value, decimals, sigma, decimals);
}

// The readings an owner looks for in an old night, and what to call them.
struct MainReading {
  std::string_view name, words;
};
constexpr std::array<MainReading, 6> kMain{{
    {"seeing_fwhm", "seeing"},
    {"disc_diameter", "disc"},
    {"coma_x", "coma across"},
    {"coma_y", "coma up and down"},
    {"focus_left", "left to turn"},
    {"resolved", "resolved"},
}};

std::string readings_words(const LoggedRecording& recording) {
  std::string words;
  for (const MainReading& main : kMain) {
    for (const KeptReading& kept : recording.readings) {
      if (kept.reading.name != main.name || !kept.reading.sigma) continue;
      words += fmt::format("{}{} {} {}", words.empty() ? "" : ", ", main.words,
                           with_error(kept.reading.value, *kept.reading.sigma), kept.reading.unit);
    }
  }
  return words;
}

std::string recording_words(const LoggedRecording& r) {
  const std::string name = std::filesystem::path(r.row.path).filename().string();
  std::string words =
      fmt::format("{}: {}{}", name, r.row.kind.empty() ? "" : r.row.kind + ", ", counted(r.row.frames, "frame"));
  if (const std::string readings = readings_words(r); !readings.empty()) words += "; " + readings;
  return words;
}

std::string title(const NightRow& n) {
  std::string text = fmt::format("night {}, {}", n.id, n.date);
  if (!n.site.empty()) text += ", " + n.site;
  return text;
}

void trend_line(std::string& text, std::string_view label, const std::optional<Trend>& trend) {
  if (!trend) return;
  text += fmt::format("  {:<16} {} {}, from {} in {}", label, with_error(trend->mean.value, trend->mean.sigma),
                      trend->unit, counted(static_cast<std::int64_t>(trend->count), "reading"),
                      counted(static_cast<std::int64_t>(trend->nights), "night"));
  if (trend->scatter > trend->mean.sigma) text += fmt::format("; nights differ by {:.2g}", trend->scatter);
  text += "\n";
}

}  // namespace

std::string log_list_words(std::span<const NightRow> nights) {
  if (nights.empty()) return "The logbook has no such night.\n";
  std::string text;
  for (const NightRow& n : nights) {
    text += fmt::format("{:>5}  {}  {}", n.id, n.date, counted(n.recordings, "recording"));
    if (n.turns > 0) text += ", " + counted(n.turns, "turn");
    if (n.images > 0) text += ", " + counted(n.images, "image");
    if (n.notes > 0) text += ", " + counted(n.notes, "note");
    if (!n.targets.empty()) text += ": " + n.targets;
    if (!n.site.empty()) text += " (" + n.site + ")";
    text += "\n";
  }
  return text;
}

std::vector<LogLine> log_lines(const NightLog& log) {
  std::vector<LogLine> all;
  for (const LoggedRecording& r : log.recordings) all.push_back({r.row.start, recording_words(r)});
  for (const TurnRow& t : log.turns) all.push_back({t.utc, "turned " + amount_words(t)});
  for (const ImageRow& i : log.images) {
    std::string words = "image " + std::filesystem::path(i.path).filename().string();
    words += fmt::format(" of {} of {} frames", i.frames_used, i.frames_read);
    if (i.resolved_arcsec && i.resolved_sigma)
      words += fmt::format(", resolved {}\"", with_error(*i.resolved_arcsec, *i.resolved_sigma));
    all.push_back({i.utc, std::move(words)});
  }
  for (const NoteRow& n : log.notes) {
    std::string words = "note: " + n.text;
    if (n.wind_m_per_s) words += fmt::format(" (wind {:.1f} m/s)", *n.wind_m_per_s);
    all.push_back({n.utc, std::move(words)});
  }
  std::stable_sort(all.begin(), all.end(), [](const LogLine& a, const LogLine& b) { return a.utc < b.utc; });
  return all;
}

std::string log_night_words(const NightLog& night) {
  std::string text = title(night.night) + "\n";
  const std::vector<LogLine> lines = log_lines(night);
  for (const LogLine& line : lines) text += fmt::format("  {}  {}\n", clock(line.utc), line.words);
  if (lines.empty()) text += "  nothing was noted\n";
  return text;
}

std::string log_trends_words(const Trends& trends, std::span<const ResponseRow> responses) {
  std::string text;
  trend_line(text, "scale", trends.scale);
  trend_line(text, "camera angle", trends.camera_angle);
  trend_line(text, "focus knob", trends.knob);
  trend_line(text, "mirror cools in", trends.time_constant);
  trend_line(text, "seeing overhead", trends.seeing);
  for (const BinnedTrend& bin : trends.seeing_by_hour)
    trend_line(text, fmt::format("  {:02.0f} to {:02.0f} h", std::fmod(bin.from, 24.0), std::fmod(bin.to, 24.0)),
               bin.trend);
  for (const BinnedTrend& bin : trends.seeing_by_wind)
    trend_line(text, fmt::format("  wind {:.0f} to {:.0f} m/s", bin.from, bin.to), bin.trend);
  for (const ResponseRow& r : responses)
    text += fmt::format("  {:<16} moves {} by {} {}, from {}\n", r.control, r.reading, with_error(r.value, r.sigma),
                        r.unit, counted(r.pairs, "pair"));
  return text.empty() ? "The logbook holds nothing yet that the seasons could teach.\n"
                      : "what the seasons say\n" + text;
}

std::string noted_words(const NoteRow& note) { return fmt::format("Noted at {} UTC.", clock(note.utc)); }

}  // namespace halfarc
