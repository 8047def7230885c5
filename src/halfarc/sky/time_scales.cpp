#include "halfarc/sky/time_scales.h"

#include <erfa.h>

#include <array>

namespace halfarc::sky {
namespace {

constexpr double kTtMinusTai = 32.184;        // s, by definition
constexpr double kBraking = 0.0032;           // s per year^2: the parabola of the long-term slowing [Espenak2006]
constexpr double kUnixDaysAtJ2000 = 10957.5;  // 2000-01-01T12:00Z

struct YearValue {
  int year;
  double seconds;
};
constexpr YearValue kYearly[] = {
#include "sky/delta_t.inc"
};
constexpr std::size_t kYears = std::size(kYearly);

struct Piece {
  double first, last, origin;
  std::array<double, 8> coefficient;
};
constexpr Piece kPieces[] = {
#include "sky/delta_t_polynomials.inc"
};

double polynomial(double year) {
  const Piece* piece = &kPieces[0];
  for (const auto& p : kPieces) {
    if (year >= p.first) piece = &p;
  }
  const double t = year - piece->origin;
  double sum = 0.0;
  for (auto c = piece->coefficient.rbegin(); c != piece->coefficient.rend(); ++c) sum = sum * t + *c;
  return sum;
}

double delta_t_seconds(double year) {
  if (year < kYearly[0].year) return polynomial(year);
  const auto& last = kYearly[kYears - 1];
  if (year >= last.year) return last.seconds + kBraking * (year - last.year) * (year - last.year);
  const double steps = year - kYearly[0].year;
  const auto i = static_cast<std::size_t>(steps);
  const double f = steps - static_cast<double>(i);
  return kYearly[i].seconds + f * (kYearly[i + 1].seconds - kYearly[i].seconds);
}

double utc_days_since_j2000(Utc t) {
  // Days and the rest apart, so that no nanosecond is lost.
  constexpr std::int64_t day = 86'400'000'000'000;
  const std::int64_t whole = t.unix_ns() / day;
  return (static_cast<double>(whole) - kUnixDaysAtJ2000) + static_cast<double>(t.unix_ns() - whole * day) / 86400e9;
}

}  // namespace

double decimal_year(Utc t) {
  const auto c = t.civil();
  const auto start = Utc::civil(c.year, 1, 1), end = Utc::civil(c.year + 1, 1, 1);
  if (!start || !end) return c.year;  // the last year of the range of Utc
  return c.year + (t - *start) / (*end - *start);
}

Duration delta_t(Utc t) { return Duration::s(delta_t_seconds(decimal_year(t))); }

Duration tai_minus_utc(Utc t) {
  const auto c = t.civil();
  if (c.year < 1972) return delta_t(t) - Duration::s(kTtMinusTai);
  const double fraction = (c.hour + (c.minute + c.second / 60.0) / 60.0) / 24.0;
  double seconds = 0.0;
  eraDat(c.year, c.month, c.day, fraction, &seconds);  // warns of years after its table; the last value holds
  return Duration::s(seconds);
}

Tt tt_from_utc(Utc t) {
  return Tt::since_j2000(Duration::days(utc_days_since_j2000(t)) + tai_minus_utc(t) + Duration::s(kTtMinusTai));
}

Utc utc_from_tt(Tt tt) {
  const Utc j2000 = Utc::unix_ns(946'728'000'000'000'000);
  const Utc as_if = j2000 + tt.since_j2000();
  const Duration tt_minus_tai = Duration::s(kTtMinusTai);
  Utc t = as_if - tt_minus_tai - tai_minus_utc(as_if);
  t = as_if - tt_minus_tai - tai_minus_utc(t);
  return t;
}

Ut1 ut1_from_utc(Utc t) { return {(tt_from_utc(t).since_j2000() - delta_t(t)).days()}; }

}  // namespace halfarc::sky
