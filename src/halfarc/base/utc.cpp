#include "halfarc/base/utc.h"

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <limits>

namespace halfarc {
namespace {

constexpr std::int64_t kNsPerSecond = 1'000'000'000;
constexpr std::int64_t kNsPerMinute = 60 * kNsPerSecond;
constexpr std::int64_t kNsPerDay = 1440 * kNsPerMinute;
constexpr int kFirstYear = 1678;
constexpr int kLastYear = 2261;
constexpr std::int64_t kFirstNs =
    std::chrono::sys_days(std::chrono::year(kFirstYear) / 1 / 1).time_since_epoch().count() * kNsPerDay;
constexpr std::int64_t kLastNs =
    std::chrono::sys_days(std::chrono::year(kLastYear + 1) / 1 / 1).time_since_epoch().count() * kNsPerDay - 1;

Error not_a_date(std::string_view text) {
  return bad_input("\"" + std::string(text) + "\" is not a date and time", {}, "write it like 2026-11-25T21:04:07Z");
}

// Nanoseconds as an integer, stopped at the ends of what it can hold.
std::int64_t whole_ns(double ns) {
  if (!(ns > -9.2e18)) return std::numeric_limits<std::int64_t>::min();
  return ns < 9.2e18 ? std::llround(ns) : std::numeric_limits<std::int64_t>::max();
}

// The sum of an instant and a span of nanoseconds, stopped at the ends of the range of years.
std::int64_t later_by(std::int64_t ns, std::int64_t span) {
  std::int64_t sum = 0;
  if (__builtin_add_overflow(ns, span, &sum)) sum = span > 0 ? kLastNs : kFirstNs;
  return std::clamp(sum, kFirstNs, kLastNs);
}

// Reads exactly `digits` digits as a number; -1 if they are not there.
int read_digits(std::string_view& text, std::size_t digits) {
  if (text.size() < digits) return -1;
  int value = 0;
  const auto [end, status] = std::from_chars(text.data(), text.data() + digits, value);
  if (status != std::errc() || end != text.data() + digits || text.front() == '-' || text.front() == '+') return -1;
  text.remove_prefix(digits);
  return value;
}

bool take(std::string_view& text, char c) {
  if (text.empty() || text.front() != c) return false;
  text.remove_prefix(1);
  return true;
}

// Seconds with decimals, kept as integer nanoseconds so that a written time reads back exactly.
std::int64_t read_seconds_ns(std::string_view& text) {
  const int whole = read_digits(text, 2);
  if (whole < 0 || whole > 60) return -1;
  std::int64_t ns = whole * kNsPerSecond;
  if (take(text, '.') || take(text, ',')) {
    if (text.empty() || text.front() < '0' || text.front() > '9') return -1;
    for (std::int64_t unit = kNsPerSecond / 10; !text.empty() && text.front() >= '0' && text.front() <= '9';
         unit /= 10) {
      ns += (text.front() - '0') * unit;
      text.remove_prefix(1);
    }
  }
  return ns;
}

// Minutes east of Greenwich from "Z", "", "+01", "+0100", "+01:00"; false if malformed.
bool read_zone(std::string_view& text, int& minutes) {
  minutes = 0;
  if (text.empty() || take(text, 'Z') || take(text, 'z')) return true;
  const bool east = take(text, '+');
  if (!east && !take(text, '-')) return false;
  const int hour = read_digits(text, 2);
  const bool colon = take(text, ':');
  const int minute = text.empty() && !colon ? 0 : read_digits(text, 2);
  if (hour < 0 || hour > 14 || minute < 0 || minute > 59) return false;
  minutes = (east ? 1 : -1) * (hour * 60 + minute);
  return true;
}

}  // namespace

Utc Utc::unix_s(double s) {
  if (!(std::abs(s) < 9.2e9)) return Utc(s > 0.0 ? kLastNs : kFirstNs);
  const double whole = std::floor(s);
  return Utc(later_by(static_cast<std::int64_t>(whole) * kNsPerSecond, std::llround((s - whole) * 1e9)));
}

Result<Utc> Utc::civil(int year, int month, int day, int hour, int minute, double second) {
  if (year < kFirstYear || year > kLastYear) {
    return bad_input("the year " + std::to_string(year) + " is outside 1678 to 2261", {}, "check the date");
  }
  const std::chrono::year_month_day date{std::chrono::year(year), std::chrono::month(static_cast<unsigned>(month)),
                                         std::chrono::day(static_cast<unsigned>(day))};
  const bool day_ok = month >= 1 && month <= 12 && day >= 1 && day <= 31 && date.ok();
  const bool time_ok = hour >= 0 && hour < 24 && minute >= 0 && minute < 60 && second >= 0.0 && second < 61.0;
  if (!day_ok || !time_ok) {
    char text[80];
    std::snprintf(text, sizeof text, "there is no %04d-%02d-%02dT%02d:%02d:%06.3f", year, month, day, hour, minute,
                  second);
    return bad_input(text, {}, "check the date and the time of day");
  }
  const std::int64_t days = std::chrono::sys_days(date).time_since_epoch().count();
  return Utc(days * kNsPerDay + (hour * 60 + minute) * kNsPerMinute + std::llround(second * 1e9));
}

Result<Utc> Utc::parse(std::string_view text) {
  const std::string_view whole = text;
  const int year = read_digits(text, 4);
  if (year < 0 || !take(text, '-')) return not_a_date(whole);
  const int month = read_digits(text, 2);
  if (month < 0 || !take(text, '-')) return not_a_date(whole);
  const int day = read_digits(text, 2);
  if (day < 0) return not_a_date(whole);
  if (text.empty()) return civil(year, month, day);

  if (!take(text, 'T') && !take(text, 't') && !take(text, ' ')) return not_a_date(whole);
  const int hour = read_digits(text, 2);
  if (hour < 0 || !take(text, ':')) return not_a_date(whole);
  const int minute = read_digits(text, 2);
  if (minute < 0) return not_a_date(whole);
  const std::int64_t second_ns = take(text, ':') ? read_seconds_ns(text) : 0;
  int zone = 0;
  if (second_ns < 0 || !read_zone(text, zone) || !text.empty()) return not_a_date(whole);
  HALFARC_TRY(const Utc minute_start, civil(year, month, day, hour, minute));
  return Utc(later_by(minute_start.ns_, second_ns - zone * kNsPerMinute));
}

Utc Utc::now() {
  using namespace std::chrono;
  return Utc(duration_cast<nanoseconds>(system_clock::now().time_since_epoch()).count());
}

Utc::Civil Utc::civil() const {
  using namespace std::chrono;
  const std::int64_t after_midnight = ns_ % kNsPerDay;
  const std::int64_t day_number = ns_ / kNsPerDay - (after_midnight < 0 ? 1 : 0);
  const std::int64_t in_day = after_midnight < 0 ? after_midnight + kNsPerDay : after_midnight;
  const year_month_day date{sys_days(days(day_number))};
  const std::int64_t seconds = in_day / kNsPerSecond;
  return {int(date.year()),
          static_cast<int>(unsigned(date.month())),
          static_cast<int>(unsigned(date.day())),
          static_cast<int>(seconds / 3600),
          static_cast<int>(seconds / 60 % 60),
          static_cast<int>(seconds % 60),
          in_day % kNsPerSecond};
}

std::string Utc::iso(int decimals) const {
  const Civil c = civil();
  char text[64];
  std::snprintf(text, sizeof text, "%04d-%02d-%02dT%02d:%02d:%02d", c.year, c.month, c.day, c.hour, c.minute, c.second);
  std::string iso = text;
  if (decimals > 0) {
    std::snprintf(text, sizeof text, ".%09lld", static_cast<long long>(c.nanosecond));
    iso.append(text, static_cast<std::size_t>(decimals > 9 ? 9 : decimals) + 1);
  }
  return iso + "Z";
}

// In two steps, because a span as wide as the range does not fit one 64-bit count of nanoseconds.
Utc operator+(Utc t, Duration d) {
  const double ns = d.s() * 1e9;
  const std::int64_t half = whole_ns(0.5 * ns);
  return Utc(later_by(later_by(t.ns_, half), whole_ns(ns - static_cast<double>(half))));
}

}  // namespace halfarc
