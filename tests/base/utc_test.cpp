#include "halfarc/base/utc.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

std::int64_t ns_of(const std::string& text) {
  const auto t = Utc::parse(text);
  EXPECT_TRUE(t) << text << ": " << t.error().line();
  return t ? t->unix_ns() : -1;
}

constexpr std::int64_t kSecond = 1'000'000'000;

// Seconds since 1970 of well-known instants; `date -u -d ... +%s` of GNU coreutils gives the same.
TEST(Utc, KnownInstants) {
  EXPECT_EQ(ns_of("1970-01-01T00:00:00Z"), 0);
  EXPECT_EQ(ns_of("2000-01-01T12:00:00Z"), 946'728'000 * kSecond);
  EXPECT_EQ(ns_of("2001-09-09T01:46:40Z"), 1'000'000'000 * kSecond);
  EXPECT_EQ(ns_of("2038-01-19T03:14:07Z"), 2'147'483'647 * kSecond);
  EXPECT_EQ(ns_of("1969-12-31T23:59:59.999999999Z"), -1);
}

TEST(Utc, LeapDays) {
  EXPECT_EQ(ns_of("2024-03-01") - ns_of("2024-02-28"), 2 * 86'400 * kSecond);
  EXPECT_EQ(ns_of("2023-03-01") - ns_of("2023-02-28"), 86'400 * kSecond);
  EXPECT_EQ(ns_of("2000-03-01") - ns_of("2000-02-29"), 86'400 * kSecond);  // a century that is one
  EXPECT_FALSE(Utc::parse("1900-02-29"));                                  // and one that is not
  EXPECT_FALSE(Utc::parse("2023-02-29"));
  const auto civil = Utc::unix_ns(ns_of("2024-02-29T23:59:59Z") + kSecond).civil();
  EXPECT_EQ(civil.month, 3);
  EXPECT_EQ(civil.day, 1);
}

// A leap second is not counted: 23:59:60 is the same instant as the midnight after it.
TEST(Utc, LeapSecondIsAccepted) {
  EXPECT_EQ(ns_of("2016-12-31T23:59:60Z"), ns_of("2017-01-01T00:00:00Z"));
  EXPECT_EQ(ns_of("2016-12-31T23:59:60.5Z"), ns_of("2017-01-01T00:00:00.5Z"));
}

TEST(Utc, WaysOfWriting) {
  const auto t = ns_of("2026-11-25T21:04:07.250Z");
  for (const char* same :
       {"2026-11-25T21:04:07.25", "2026-11-25 21:04:07.250", "2026-11-25t21:04:07,25z", "2026-11-25T22:04:07.25+01:00",
        "2026-11-25T22:04:07.25+0100", "2026-11-25T22:04:07.25+01", "2026-11-25T17:34:07.25-03:30",
        "2026-11-26T05:04:07.25+08:00", "2026-11-25T21:04:07.2500000001"}) {
    EXPECT_EQ(ns_of(same), t) << same;
  }
  EXPECT_EQ(ns_of("2026-11-25T21:04"), ns_of("2026-11-25T21:04:00Z"));
  EXPECT_EQ(ns_of("2026-11-25"), ns_of("2026-11-25T00:00:00Z"));
  EXPECT_EQ(ns_of("2026-01-01T00:30:00+01:00"), ns_of("2025-12-31T23:30:00Z"));
}

TEST(Utc, WritesWithTheDecimalsAskedFor) {
  const Utc t = Utc::unix_ns(ns_of("2026-11-25T21:04:07.999999999Z"));
  EXPECT_EQ(t.iso(0), "2026-11-25T21:04:07Z");  // truncated, never the next second
  EXPECT_EQ(t.iso(), "2026-11-25T21:04:07.999Z");
  EXPECT_EQ(t.iso(9), "2026-11-25T21:04:07.999999999Z");
  EXPECT_EQ(t.iso(20), "2026-11-25T21:04:07.999999999Z");
  EXPECT_EQ(t.iso(-1), "2026-11-25T21:04:07Z");
  EXPECT_EQ(Utc::unix_ns(-1).iso(9), "1969-12-31T23:59:59.999999999Z");
}

TEST(Utc, RoundTripsToTheNanosecond) {
  Rng rng(1);
  for (int i = 0; i < 20'000; ++i) {
    const auto ns = static_cast<std::int64_t>(rng.uniform(-9.2e18, 9.2e18)) + i;
    const Utc t = Utc::unix_ns(ns);
    const auto back = Utc::parse(t.iso(9));
    ASSERT_TRUE(back) << t.iso(9);
    ASSERT_EQ(back->unix_ns(), ns) << t.iso(9);
  }
}

TEST(Utc, CivilPartsRoundTrip) {
  const auto t = Utc::civil(2026, 11, 25, 21, 4, 7.25);
  ASSERT_TRUE(t);
  const auto c = t->civil();
  EXPECT_EQ(c.year, 2026);
  EXPECT_EQ(c.month, 11);
  EXPECT_EQ(c.day, 25);
  EXPECT_EQ(c.hour, 21);
  EXPECT_EQ(c.minute, 4);
  EXPECT_EQ(c.second, 7);
  EXPECT_EQ(c.nanosecond, 250'000'000);
}

TEST(Utc, RefusesWhatIsNotWrittenAsADate) {
  for (const char* text : {"",
                           "yesterday",
                           "25-11-2026",
                           "2026/11/25",
                           "2026-11",
                           "2026-1-2",
                           "2026-11-25T",
                           "2026-11-25T21",
                           "2026-11-25T21:4",
                           "2026-11-25T21:04:",
                           "2026-11-25T21:04:7",
                           "2026-11-25T21:04:07.",
                           "2026-11-25T21:04:07.Z",
                           "2026-11-25T21:04:07Zulu",
                           "2026-11-25T21:04:07+",
                           "2026-11-25T21:04:07+1",
                           "2026-11-25T21:04:07+01:",
                           "2026-11-25T21:04:07+01:0",
                           "2026-11-25T21:04:07+15:00",
                           "2026-11-25T21:04:07+01:60",
                           "2026-11-25x21:04:07",
                           " 2026-11-25",
                           "2026-11-25 ",
                           "+026-11-25",
                           "-026-11-25",
                           "2026-11-25T21:04:61",
                           "2026-11-25T21:-4:07"}) {
    const auto t = Utc::parse(text);
    ASSERT_FALSE(t) << text;
    EXPECT_EQ(t.error().kind, ErrorKind::bad_input) << text;
    EXPECT_NE(t.error().what.find("is not a date and time"), std::string::npos) << t.error().line();
    EXPECT_FALSE(t.error().to_do.empty());
  }
}

TEST(Utc, RefusesDatesThatDoNotExist) {
  for (const char* text : {"2026-02-30", "2026-02-29", "2026-04-31", "2026-13-01", "2026-00-10", "2026-01-00",
                           "2026-01-32", "2026-11-25T24:00:00", "2026-11-25T12:60:00"}) {
    const auto t = Utc::parse(text);
    ASSERT_FALSE(t) << text;
    EXPECT_EQ(t.error().kind, ErrorKind::bad_input) << text;
    EXPECT_NE(t.error().what.find("there is no 2026-"), std::string::npos) << t.error().line();
  }
  EXPECT_FALSE(Utc::civil(2026, 257, 1));  // 257 is 1 in eight bits
  EXPECT_FALSE(Utc::civil(2026, 1, 257));
  EXPECT_FALSE(Utc::civil(2026, -1, 1));
  EXPECT_FALSE(Utc::civil(2026, 1, 1, 0, 0, std::numeric_limits<double>::quiet_NaN()));
}

TEST(Utc, RefusesYearsOutsideItsRange) {
  for (const char* text : {"1677-12-31", "2262-01-01", "0000-01-01", "9999-12-31T23:59:59Z"}) {
    const auto t = Utc::parse(text);
    ASSERT_FALSE(t) << text;
    EXPECT_NE(t.error().what.find("outside 1678 to 2261"), std::string::npos) << t.error().line();
  }
  EXPECT_EQ(Utc::unix_ns(ns_of("1678-01-01")).iso(), "1678-01-01T00:00:00.000Z");
  EXPECT_EQ(Utc::unix_ns(ns_of("2261-12-31T23:59:59.999Z")).iso(), "2261-12-31T23:59:59.999Z");
}

TEST(Utc, ArithmeticStopsAtTheEndsOfTheRange) {
  const Utc last = Utc::unix_ns(ns_of("2261-12-31T23:59:59.999999999Z"));
  const Utc first = Utc::unix_ns(ns_of("1678-01-01"));
  EXPECT_EQ(last + Duration::days(1.0), last);
  EXPECT_EQ(first - Duration::days(1.0), first);
  EXPECT_EQ(first + Duration::s(std::numeric_limits<double>::infinity()), last);
  EXPECT_EQ(Utc::unix_s(1e300), last);
  EXPECT_EQ(Utc::unix_s(-1e300), first);
  EXPECT_NEAR((last - first).days(), 213'301.0, 1e-3);  // 584 years, 141 of them leap years
}

TEST(Utc, ArithmeticIsExactToTheNanosecond) {
  const Utc t = Utc::unix_ns(1'790'000'000'123'456'789);
  EXPECT_EQ((t + Duration::ms(20.0)).unix_ns(), 1'790'000'000'143'456'789);
  EXPECT_EQ((t - Duration::ms(20.0)).unix_ns(), 1'790'000'000'103'456'789);
  EXPECT_DOUBLE_EQ(((t + Duration::ms(20.0)) - t).s(), 0.02);
  EXPECT_LT(t, t + Duration::s(1e-9));
}

TEST(Utc, UnixSecondsKeepTheirDecimals) {
  EXPECT_EQ(Utc::unix_s(-0.25).unix_ns(), -250'000'000);
  EXPECT_EQ(Utc::unix_s(1'790'000'000.5).unix_ns(), 1'790'000'000'500'000'000);
  EXPECT_DOUBLE_EQ(Utc::unix_ns(1'500'000'000).unix_s(), 1.5);
}

TEST(Utc, NowLiesAfterThisWasWritten) { EXPECT_GT(Utc::now(), Utc::unix_s(1.7e9)); }

}  // namespace
}  // namespace halfarc
