// Time scales: civil time (Utc) into the uniform time of ephemerides (Tt) and the turning of the Earth (Ut1).
//
// Before 1972 civil time is taken as UT1, as almanacs do. From 1972 on, TAI - UTC is the list of leap seconds, which
// for later years is kept at its last known value. TT - UT1 is published polynomials up to 1962 and a table of yearly
// observed values to 2026. After the table the Earth goes on from its present rate (whose days are very nearly 86 400 s
// long) with the published long-term parabola, 32 s per century squared. Nobody can foretell it: expect 1 s of error in
// 2035 and 10 s in 2060, which move the sky by 15" and 150".
// Barycentric dynamical time (TDB) is taken as TT; they differ by at most 1.7 ms.
#pragma once

#include <compare>

#include "halfarc/base/duration.h"
#include "halfarc/base/utc.h"

namespace halfarc::sky {

// Terrestrial time, counted from J2000.0 (2000 January 1, 12:00 TT).
class Tt {
 public:
  static constexpr double kJ2000JulianDate = 2451545.0;

  constexpr Tt() = default;
  static constexpr Tt since_j2000(Duration d) { return Tt(d.days()); }
  static constexpr Tt julian_date(double jd) { return Tt(jd - kJ2000JulianDate); }

  constexpr Duration since_j2000() const { return Duration::days(days_); }
  constexpr double days() const { return days_; }
  constexpr double centuries() const { return days_ / 36525.0; }
  constexpr double julian_date() const { return days_ + kJ2000JulianDate; }

  friend constexpr auto operator<=>(Tt, Tt) = default;
  friend constexpr Tt operator+(Tt t, Duration d) { return Tt(t.days_ + d.days()); }
  friend constexpr Tt operator-(Tt t, Duration d) { return Tt(t.days_ - d.days()); }
  friend constexpr Duration operator-(Tt a, Tt b) { return Duration::days(a.days_ - b.days_); }

 private:
  explicit constexpr Tt(double days) : days_(days) {}
  double days_ = 0.0;
};

// The angle of the Earth told as a time: days of UT1 from 2000 January 1, 12:00 UT1.
struct Ut1 {
  double days_since_j2000 = 0.0;
};

// TT - UT1. Valid: 1600 to 2500. Accuracy: 0.05 s from 1962 to 2026; 5 s in 1750. Source: [IERSC04], [Espenak2006].
Duration delta_t(Utc t);

// TAI - UTC, from 1972 on; before, what makes UTC equal to UT1. Source: ERFA eraDat.
Duration tai_minus_utc(Utc t);

// Accuracy: exact from 1972 to the last known leap second; that of delta_t before.
Tt tt_from_utc(Utc t);
Utc utc_from_tt(Tt t);

// Accuracy: that of delta_t.
Ut1 ut1_from_utc(Utc t);

// Year and fraction, for tables that run by the year. Accuracy: one day.
double decimal_year(Utc t);

}  // namespace halfarc::sky
