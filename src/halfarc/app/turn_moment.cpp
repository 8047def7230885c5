#include "halfarc/app/turn_moment.h"

#include <sys/stat.h>

#include <cstdint>
#include <optional>
#include <string>

namespace halfarc {
namespace {

constexpr Duration kClocksAgree = Duration::minutes(5.0);
constexpr Duration kAnsweredWithin = Duration::minutes(30.0);
constexpr Duration kBehind = Duration::s(1.0);

std::optional<Utc> closed_at(const std::string& path) {
  struct stat status {};
  if (::stat(path.c_str(), &status) != 0) return std::nullopt;
  return Utc::unix_ns(static_cast<std::int64_t>(status.st_mtim.tv_sec) * 1'000'000'000 + status.st_mtim.tv_nsec);
}

Duration between(Utc a, Utc b) { return a < b ? b - a : a - b; }

}  // namespace

Result<Utc> moment_of_turn(const OwnerLog& log, Utc now) {
  HALFARC_TRY(Statement newest,
              log.database.ask("SELECT path, start_ns, end_ns FROM recordings ORDER BY id DESC LIMIT 1"));
  HALFARC_TRY(const bool found, newest.next());
  if (!found) return now;
  const auto closed = closed_at(newest.text(0));
  const Utc ended = newest.maybe_utc(2).value_or(newest.utc(1));
  if (!closed || between(*closed, now) > kAnsweredWithin || between(*closed, ended) < kClocksAgree) return now;
  return ended + kBehind;
}

}  // namespace halfarc
