// The logbook after twenty seasons: 200,000 recordings of fifteen readings in 1,000 nights. How long it takes to add to
// it, and to ask it.
#include <fmt/format.h>
#include <unistd.h>

#include <filesystem>

#include "halfarc/app/night_log.h"
#include "halfarc/app/trends.h"
#include "halfarc/base/random.h"
#include "halfarc/base/stopwatch.h"
#include "halfarc/logbook/schema.h"

namespace {

using namespace halfarc;

constexpr std::int64_t kNights = 1000, kClips = 200, kReadings = 15;

std::vector<ReadingRow> readings(Rng& chance) {
  std::vector<ReadingRow> rows{{"seeing_zenith", 2.0 + 0.3 * chance.normal(), 0.15, "arcsec"}};
  for (std::int64_t i = 1; i < kReadings; ++i)
    rows.push_back({fmt::format("reading_{}", i), chance.normal(), 0.1, "px"});
  return rows;
}

Result<void> add_clip(Database& book, std::int64_t night, std::int64_t number, std::int64_t clip, Rng& chance) {
  RecordingRow row;
  row.night = night;
  row.path = fmt::format("/captures/night-{}/clip-{}.ser", number, clip);
  row.start = Utc::unix_s(1.2e9 + 86400.0 * 7.3 * static_cast<double>(number) + 90.0 * static_cast<double>(clip));
  row.kind = "planet";
  row.target = "jupiter";
  row.frames = 3000;
  HALFARC_TRY(const std::int64_t id, put_recording(book, row));
  return replace_readings(book, id, "check", readings(chance));
}

Result<void> fill(Database& book, Rng& chance) {
  for (std::int64_t number = 0; number < kNights; ++number) {
    HALFARC_TRY(Transaction together, Transaction::begin(book));
    const Utc start = Utc::unix_s(1.2e9 + 86400.0 * 7.3 * static_cast<double>(number));
    HALFARC_TRY(const std::int64_t night, put_night(book, night_date(start, Angle()), std::nullopt));
    for (std::int64_t clip = 0; clip < kClips; ++clip) HALFARC_CHECK(add_clip(book, night, number, clip, chance));
    HALFARC_CHECK(together.commit());
  }
  return {};
}

void say(const char* what, double seconds) { fmt::print("bench: {:<52} {:9.2f} ms\n", what, 1e3 * seconds); }

Result<void> run(const std::filesystem::path& folder) {
  Rng chance(1);
  Stopwatch clock;
  HALFARC_TRY(Database book, open_logbook(folder / "logbook.db", Access::write));
  HALFARC_CHECK(fill(book, chance));
  say("logbook: add a recording, a night in a transaction", clock.lap() / static_cast<double>(kNights * kClips));
  constexpr int singles = 50;
  for (int i = 0; i < singles; ++i) {
    HALFARC_TRY(Transaction together, Transaction::begin(book));
    HALFARC_CHECK(add_clip(book, 1, 0, kClips + i, chance));
    HALFARC_CHECK(together.commit());
  }
  say("logbook: add a recording, on the disk by itself", clock.lap() / singles);
  HALFARC_TRY(const auto all, nights(book, {}));
  say("logbook: list 1,000 nights", clock.lap());
  HALFARC_TRY(const auto found, nights(book, {"night-77", std::nullopt}));
  say("logbook: search 200,000 recordings", clock.lap());
  HALFARC_TRY(const auto night, night_log(book, all.back()));
  say("logbook: show a night of 200 recordings", clock.lap());
  HALFARC_TRY(const auto trends, trends_of(book, std::nullopt, folder));
  say("logbook: trends of 200,000 recordings", clock.lap());
  const auto size = std::filesystem::file_size(folder / "logbook.db");
  fmt::print("bench: {:<52} {:9.1f} MB\n", "logbook: size of the file", static_cast<double>(size) / 1e6);
  const bool whole = static_cast<std::int64_t>(all.size()) == kNights && found.size() == 11 && trends.seeing &&
                     night.recordings.size() == static_cast<std::size_t>(kClips);
  return whole ? Result<void>() : failed("the logbook does not hold what was put into it");
}

}  // namespace

int main() {
  const auto folder = std::filesystem::temp_directory_path() / fmt::format("halfarc_logbook_bench.{}", ::getpid());
  std::filesystem::create_directories(folder);
  const auto done = run(folder);
  std::filesystem::remove_all(folder);
  if (!done) fmt::print(stderr, "{}\n", done.error().line());
  return done ? 0 : 1;
}
