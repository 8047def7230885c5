#include "halfarc/app/plan_calendar.h"

#include <fmt/format.h>

namespace halfarc {
namespace {

std::string stamp(Utc t) {
  const auto c = t.civil();
  return fmt::format("{:04}{:02}{:02}T{:02}{:02}{:02}Z", c.year, c.month, c.day, c.hour, c.minute, c.second);
}

// Commas, semicolons, backslashes and line ends have a meaning of their own.
std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '\n') {
      out += "\\n";
      continue;
    }
    if (c == ',' || c == ';' || c == '\\') out += '\\';
    out += c;
  }
  return out;
}

// A content line is at most 75 octets; longer ones go on after a line end and a blank, never inside a UTF-8 character.
std::string folded(const std::string& line) {
  std::string out;
  std::size_t width = 0;
  for (std::size_t i = 0; i < line.size();) {
    std::size_t length = 1;
    while (i + length < line.size() && (static_cast<unsigned char>(line[i + length]) & 0xC0) == 0x80) ++length;
    if (width + length > 75) {
      out += "\r\n ";
      width = 1;
    }
    out += line.substr(i, length);
    width += length;
    i += length;
  }
  return out + "\r\n";
}

struct Entry {
  std::string id;  // unique within the night
  Utc begins, ends;
  std::string summary, description;
};

std::string event_of(const Entry& e, const NightPlan& plan, Utc made_at) {
  const auto night = stamp(plan.asked.noon);
  std::string text = folded("BEGIN:VEVENT");
  text += folded(fmt::format("UID:{}-{}-{:.4f}-{:.4f}@halfarc", e.id, night, plan.asked.site.latitude.deg(),
                             plan.asked.site.longitude.deg()));
  text += folded("DTSTAMP:" + stamp(made_at));
  text += folded("DTSTART:" + stamp(e.begins));
  text += folded("DTEND:" + stamp(e.ends));
  text += folded("SUMMARY:" + escaped(e.summary));
  text += folded("DESCRIPTION:" + escaped(e.description));
  if (!plan.asked.site_name.empty()) text += folded("LOCATION:" + escaped(plan.asked.site_name));
  text += folded("TRANSP:TRANSPARENT");
  return text + folded("END:VEVENT");
}

std::string lower(std::string_view name) {
  std::string out(name);
  if (!out.empty()) out[0] = static_cast<char>(out[0] - 'A' + 'a');
  return out;
}

}  // namespace

std::string plan_calendar(const NightPlan& plan, Utc made_at) {
  std::string text = folded("BEGIN:VCALENDAR") + folded("VERSION:2.0") + folded("PRODID:-//halfarc//plan//EN") +
                     folded("CALSCALE:GREGORIAN") + folded("METHOD:PUBLISH");
  for (const TargetNight& t : plan.targets) {
    if (t.windows.empty()) continue;
    const NightWindow& w = t.windows.front();
    std::string about =
        fmt::format("{}. Airmass {:.2f}, dispersion {:.1f} arcsec from red to blue, disc {:.1f} arcsec.", w.reason,
                    w.airmass, w.dispersion.arcsec(), t.diameter.arcsec());
    if (t.sun_separation < sky::kSunExclusion) {
      about +=
          fmt::format("\nOnly {:.0f} deg from the Sun: never before sunset or after sunrise.", t.sun_separation.deg());
    }
    text += event_of({lower(name_of(t.body)), w.begins, w.ends,
                      fmt::format("{}, {:.0f} deg high", name_of(t.body), w.best_altitude.deg()), about},
                     plan, made_at);
  }
  int number = 0;
  for (const NightNote& task : plan.tasks) {
    ++number;
    const bool about_a_target = task.words.find(": record until") != std::string::npos;
    if (about_a_target) continue;  // its window is an entry already
    text += event_of({fmt::format("task{}", number), task.at, task.at + Duration::minutes(10.0),
                      "halfarc: " + task.words, "From the plan of the night."},
                     plan, made_at);
  }
  return text + folded("END:VCALENDAR");
}

}  // namespace halfarc
