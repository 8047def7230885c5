#include "halfarc/sky/time_scales.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc::sky {
namespace {

Utc utc(const char* text) { return *Utc::parse(text); }

// Source: ERFA t_erfa_c.c, eraDat: 2003-06-01 32 s, 2008-01-17 33 s, 2017-09-01 37 s.
TEST(TimeScales, LeapSecondsAreThoseOfErfasTests) {
  EXPECT_EQ(tai_minus_utc(utc("2003-06-01")).s(), 32.0);
  EXPECT_EQ(tai_minus_utc(utc("2008-01-17")).s(), 33.0);
  EXPECT_EQ(tai_minus_utc(utc("2017-09-01")).s(), 37.0);
  EXPECT_EQ(tai_minus_utc(utc("2060-01-01")).s(), 37.0);  // none is known after 2017
}

// Source: IERS Bulletin C 52: 23:59:59 UTC on 2016 December 31 was followed by a leap second (from memory).
TEST(TimeScales, TheLeapSecondOf2016FallsWhereItFell) {
  const Duration civil = utc("2017-01-01T00:00:00Z") - utc("2016-12-31T23:59:59Z");
  const Duration real = tt_from_utc(utc("2017-01-01T00:00:00Z")) - tt_from_utc(utc("2016-12-31T23:59:59Z"));
  EXPECT_NEAR(civil.s(), 1.0, 1e-9);
  EXPECT_NEAR(real.s(), 2.0, 1e-6);
}

TEST(TimeScales, J2000IsWhereItIsDefined) {
  // 2000-01-01T12:00:00 TT is 32.184 s + 32 leap seconds earlier in UTC.
  EXPECT_NEAR(tt_from_utc(utc("2000-01-01T11:58:55.816Z")).days() * 86400.0, 0.0, 1e-5);
}

// Source: Meeus, example 10.a: delta T = 47.6 s in February 1977; polynomials' own value -2.79 s at 1900.0
// [Espenak2006]; 63.83 s at 2000.0 [IERSC04].
TEST(TimeScales, DeltaTAtPublishedDates) {
  EXPECT_NEAR(delta_t(utc("1977-02-18")).s(), 47.6, 0.06);
  EXPECT_NEAR(delta_t(utc("1900-01-01")).s(), -2.79, 0.01);
  EXPECT_NEAR(delta_t(utc("2000-01-01")).s(), 63.83, 0.005);
}

TEST(TimeScales, DeltaTHasNoSteps) {
  // Year by year it never moves by more than 3 s, nor by 0.4 s from one day to the next, where tables meet polynomials.
  for (int year = 1700; year < 2200; ++year) {
    const Utc start = *Utc::civil(year, 1, 1);
    EXPECT_LT(std::abs((delta_t(start) - delta_t(start - Duration::days(1))).s()), 0.4) << year;
  }
}

TEST(TimeScales, TurnsBack) {
  for (const char* text : {"1750-03-01T06:00:00Z", "1971-12-31T23:59:00Z", "1999-08-11T11:03:00Z",
                           "2026-11-25T21:04:07Z", "2150-01-01T00:00:00Z"}) {
    EXPECT_NEAR((utc_from_tt(tt_from_utc(utc(text))) - utc(text)).s(), 0.0, 2e-5) << text;
  }
}

TEST(TimeScales, Ut1StaysWithinASecondOfUtcWhileTheTableLasts) {
  for (int year = 1973; year < 2026; ++year) {
    const Utc t = *Utc::civil(year, 5, 15);
    const double utc_days = (t - utc("2000-01-01T12:00:00Z")).days();
    EXPECT_LT(std::abs(ut1_from_utc(t).days_since_j2000 - utc_days) * 86400.0, 0.9) << year;
  }
}

}  // namespace
}  // namespace halfarc::sky
