#include "halfarc/report/session_text.h"

#include <fmt/format.h>

#include <array>
#include <optional>
#include <string_view>

namespace halfarc {
namespace {

constexpr std::array<std::string_view, 12> kMonths{"January",   "February", "March",    "April",
                                                   "May",       "June",     "July",     "August",
                                                   "September", "October",  "November", "December"};

// "21:22", truncated as a clock shows it.
std::string hour_words(Utc utc) {
  const Utc::Civil c = utc.civil();
  return fmt::format("{:02d}:{:02d}", c.hour, c.minute);
}

std::string budget_text(const SessionBudget& budget) {
  std::string text = fmt::format("\nWhat blurred {} at {} UT, {:.0f} deg high (contrast left of half-arc detail)\n",
                                 budget.target, hour_words(budget.utc), budget.altitude.deg());
  text += fmt::format("  {:<31} {:>11} {:>11} {:>9}\n", "", "predicted", "measured", "to gain");
  const auto share = [](const std::optional<Measured<double>>& s) { return s ? share_words(*s) : std::string("-"); };
  for (const SessionCause& c : budget.causes)
    text += fmt::format("  {:<31} {:>11} {:>11} {:>9}  {}\n", c.cause, share(c.predicted), share(c.measured),
                        c.gain ? gain_words(*c.gain) : std::string("undone"), c.because);
  text += fmt::format("  {:<31} {:>11} {:>11}\n", "all together", share_words(budget.predicted),
                      share_words(budget.measured));
  for (const std::string& note : budget.notes) text += "  note: " + note + "\n";
  return text;
}

}  // namespace

std::string date_words(const std::string& date) {
  const auto midnight = Utc::parse(date + "T00:00:00Z");
  if (!midnight) return date;
  const Utc::Civil c = midnight->civil();
  return fmt::format("{} {} {}", c.day, kMonths[static_cast<std::size_t>(c.month - 1)], c.year);
}

std::string share_words(const Measured<double>& share) {
  return fmt::format("{:.0f} ± {:.0f} %", 100.0 * share.value, 100.0 * share.sigma);
}

std::string image_words(const SessionImage& image) {
  std::string words = image.name + ", " + (image.object.empty() ? std::string("taken") : image.object) + " at " +
                      hour_words(image.utc) + " UT";
  words += fmt::format(": {} of {} frames", image.frames_used, image.frames_read);
  if (image.resolved)
    words +=
        fmt::format(", real down to {:.2f} ± {:.2f}\"", image.resolved->value.arcsec(), image.resolved->sigma.arcsec());
  return words;
}

std::string gain_words(double gain) {
  if (gain >= 1.0) return fmt::format("{:.1f} times", 1.0 + gain);
  return gain >= 0.005 ? fmt::format("{:+.0f} %", 100.0 * gain) : std::string("-");
}

std::string ground_words(const NextTime& next) {
  std::string words = next.cause + ", for " + next.target + "; " + (next.measured ? "measured" : "predicted");
  return next.sure ? words : words + ", no larger than its own error";
}

std::string session_text(const Session& session) {
  std::string text = "The night of " + date_words(session.date);
  if (!session.place.empty()) text += ", " + session.place;
  text += "\n";
  if (!session.telescope.empty()) text += session.telescope + "\n";
  if (!session.next.empty()) text += "\nWhat to change next time, by what half-arc detail gains\n";
  for (const NextTime& next : session.next)
    text += fmt::format("  {:>9}  {} ({})\n", gain_words(next.gain), next.remedy, ground_words(next));
  if (!session.images.empty()) text += "\nImages\n";
  for (const SessionImage& image : session.images) text += "  " + image_words(image) + "\n";
  for (const SessionBudget& budget : session.budgets) text += budget_text(budget);
  for (const std::string& remark : session.remarks) text += "\n" + remark + "\n";
  if (!session.seeing.empty()) text += "\nSeeing (width of a star at the zenith, 500 nm)\n";
  for (const SessionSeeing& s : session.seeing)
    text += fmt::format("  {}  {:.2f} ± {:.2f}\"\n", hour_words(s.utc), s.width.value.arcsec(), s.width.sigma.arcsec());
  text += "\nHour by hour (UT)\n";
  for (const SessionLine& line : session.lines) text += fmt::format("  {}  {}\n", hour_words(line.utc), line.words);
  if (session.lines.empty()) text += "  nothing was noted\n";
  return text;
}

}  // namespace halfarc
