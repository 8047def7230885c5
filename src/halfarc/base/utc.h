// Utc: an instant of civil time, as recordings, logs and the owner's watch state it.
//
// Counted in nanoseconds since 1970-01-01T00:00:00Z on the civil calendar in which every day has 86 400 s (leap
// seconds are not counted here; sky/time_scales.h turns a Utc into the uniform scales that ephemerides need).
// Range: years 1678 to 2262. Time is always passed in; only `now()` asks the machine's clock.
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
  static Utc unix_s(double s);

  // A civil date and time; false dates (2026-02-30) are an error.
  static Result<Utc> civil(int year, int month, int day, int hour = 0, int minute = 0, double second = 0.0);

  // ISO 8601: 2026-11-25, 2026-11-25T21:04, 2026-11-25T21:04:07.250Z. A trailing Z or nothing means UTC; an offset
  // (+01:00) is converted. A space may stand for the T.
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
  friend constexpr Duration operator-(Utc a, Utc b) { return Duration::s(static_cast<double>(a.ns_ - b.ns_) * 1e-9); }
  friend Utc operator+(Utc t, Duration d);
  friend Utc operator-(Utc t, Duration d) { return t + (-d); }

 private:
  explicit constexpr Utc(std::int64_t ns) : ns_(ns) {}
  std::int64_t ns_ = 0;
};

}  // namespace halfarc
