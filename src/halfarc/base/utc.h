// Utc: an instant of civil time, as recordings, logs and the owner's watch state it.
//
// Counted in nanoseconds since 1970-01-01T00:00:00Z on the civil calendar in which every day has 86 400 s (leap
// seconds are not counted here; sky/time_scales.h turns a Utc into the uniform scales that ephemerides need).
// Range: years 1678 to 2261; arithmetic that would leave it stops at its ends. Time is always passed in; only `now()`
// asks the machine's clock.
#pragma once

#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

#include "halfarc/base/duration.h"
#include "halfarc/base/result.h"

namespace halfarc {

class Utc {
 public:
  constexpr Utc() = default;
  static constexpr Utc unix_ns(std::int64_t ns) { return Utc(ns); }
  // To the nanosecond as far as the double goes: 2e-7 s in this century. Stops at the ends of the range.
  static Utc unix_s(double s);

  // A civil date and time. Second 60 is a leap second and becomes the first second of the next minute.
  // Errors (bad input): no such date or time (2026-02-30), year outside the range.
  static Result<Utc> civil(int year, int month, int day, int hour = 0, int minute = 0, double second = 0.0);

  // ISO 8601: 2026-11-25, 2026-11-25T21:04, 2026-11-25T21:04:07.250Z. A trailing Z or nothing means UTC; an offset
  // (+01:00) is converted. A space may stand for the T. Decimals beyond the nanosecond are dropped.
  // Errors (bad input): not written so; no such date or time; year outside the range.
  static Result<Utc> parse(std::string_view text);

  static Utc now();

  constexpr std::int64_t unix_ns() const { return ns_; }
  double unix_s() const { return static_cast<double>(ns_) * 1e-9; }

  struct Civil {
    int year, month, day, hour, minute, second;
    std::int64_t nanosecond;
  };
  Civil civil() const;

  // ISO 8601 with Z and the given number of decimals of the second (0 to 9), truncated, never rounded up.
  std::string iso(int decimals = 3) const;

  friend constexpr auto operator<=>(Utc, Utc) = default;
  friend constexpr Duration operator-(Utc a, Utc b) {
    std::int64_t ns = 0;
    if (!__builtin_sub_overflow(a.ns_, b.ns_, &ns)) return Duration::s(static_cast<double>(ns) * 1e-9);
    return Duration::s(static_cast<double>(a.ns_) * 1e-9 - static_cast<double>(b.ns_) * 1e-9);  // over 292 years
  }
  friend Utc operator+(Utc t, Duration d);
  friend Utc operator-(Utc t, Duration d) { return t + (-d); }

 private:
  explicit constexpr Utc(std::int64_t ns) : ns_(ns) {}
  std::int64_t ns_ = 0;
};

}  // namespace halfarc
