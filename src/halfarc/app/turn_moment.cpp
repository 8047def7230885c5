#include "halfarc/app/turn_moment.h"

#include "halfarc/base/file_status.h"

namespace halfarc {
namespace {

constexpr Duration kClocksAgree = Duration::minutes(5.0);
constexpr Duration kAnsweredWithin = Duration::minutes(30.0);
constexpr Duration kBehind = Duration::s(1.0);

Duration between(Utc a, Utc b) { return a < b ? b - a : a - b; }

}  // namespace

Result<Utc> moment_of_turn(const OwnerLog& log, Utc now) {
  HALFARC_TRY(Statement newest,
              log.database.ask("SELECT path, start_ns, end_ns FROM recordings ORDER BY id DESC LIMIT 1"));
  HALFARC_TRY(const bool found, newest.next());
  if (!found) return now;
  const auto closed = file_status(newest.text(0));
  const Utc ended = newest.maybe_utc(2).value_or(newest.utc(1));
  if (!closed || between(closed->written, now) > kAnsweredWithin || between(closed->written, ended) < kClocksAgree)
    return now;
  return ended + kBehind;
}

}  // namespace halfarc
