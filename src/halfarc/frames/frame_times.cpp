#include "halfarc/frames/frame_times.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfarc {
namespace {

constexpr std::int64_t kNsPerSecond = 1'000'000'000;
constexpr Utc kEarliest = Utc::unix_ns(631'152'000 * kNsPerSecond);  // 1990-01-01
constexpr Utc kLatest = Utc::unix_ns(7'258'118'400 * kNsPerSecond);  // 2200-01-01
constexpr std::int64_t kTicksToUnix = 621'355'968'000'000'000;       // 0001-01-01 to 1970-01-01 in 100 ns

}  // namespace

bool is_plausible(Utc time) { return time >= kEarliest && time < kLatest; }

std::optional<Utc> utc_from_ticks(std::int64_t ticks) {
  std::int64_t since_1970 = 0;
  std::int64_t ns = 0;
  if (__builtin_sub_overflow(ticks, kTicksToUnix, &since_1970)) return std::nullopt;
  if (__builtin_mul_overflow(since_1970, std::int64_t{100}, &ns)) return std::nullopt;
  return Utc::unix_ns(ns);
}

void examine_times(RecordingInfo& info) {
  auto& times = info.times;
  if (times.empty()) return;
  const auto drop = [&](std::string why) {
    times.clear();
    info.notes.push_back(std::move(why));
  };
  const auto wrong = std::count_if(times.begin(), times.end(), [](Utc t) { return !is_plausible(t); });
  if (wrong > 0) {
    return drop(
        fmt::format("{} of {} frame times are not dates of this age; frame times are not used", wrong, times.size()));
  }
  if (times.size() < 2) return;
  if (std::all_of(times.begin(), times.end(), [&](Utc t) { return t == times.front(); })) {
    return drop("all frames carry the same time; frame times are not used");
  }
  std::size_t backwards = 0;
  std::size_t first_backwards = 0;
  std::size_t repeated = 0;
  for (std::size_t i = 1; i < times.size(); ++i) {
    if (times[i] == times[i - 1]) ++repeated;
    if (times[i] < times[i - 1] && backwards++ == 0) first_backwards = i;
  }
  if (backwards > 0) {
    info.notes.push_back(
        fmt::format("the clock runs backwards {} times, first at frame {}", backwards, first_backwards));
  }
  if (repeated > 0) {
    info.notes.push_back(fmt::format("{} frames carry the time of the frame before: the clock is coarse", repeated));
  }
}

}  // namespace halfarc
