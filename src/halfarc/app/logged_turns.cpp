#include "halfarc/app/logged_turns.h"

#include <cstdint>
#include <memory>
#include <system_error>
#include <utility>
#include <vector>

#include "halfarc/logbook/schema.h"
#include "halfarc/logbook/turns.h"

namespace halfarc {
namespace {

Result<std::vector<TurnRow>> noted_after(const std::filesystem::path& logbook, std::int64_t id) {
  std::error_code ignored;
  if (!std::filesystem::exists(logbook, ignored)) return std::vector<TurnRow>{};
  HALFARC_TRY(const Database database, open_logbook(logbook, Access::read));
  return turns_after(database, id);
}

// One answer of the hand; moves `seen` on.
Result<std::vector<Turned>> wait_for_turns(const std::filesystem::path& logbook, const Patience& patience,
                                           const Pause& pause, std::int64_t& seen) {
  std::vector<Turned> turns;
  bool answered = false;
  Duration left = patience.first;
  while (left > Duration()) {
    HALFARC_TRY(const std::vector<TurnRow> rows, noted_after(logbook, seen));
    for (const TurnRow& row : rows) {
      seen = row.id;
      answered = true;
      HALFARC_TRY(const Control control, control_named(row.control));
      if (row.amount != 0.0) turns.push_back({control, row.amount});
    }
    if (answered && turns.empty()) return turns;
    if (!rows.empty()) left = patience.more;
    HALFARC_CHECK(pause(patience.look));
    left -= patience.look;
  }
  return turns;
}

}  // namespace

TurnSource turns_of_logbook(const std::filesystem::path& logbook, const Patience& patience, Pause pause) {
  std::int64_t seen = 0;
  if (const auto before = noted_after(logbook, 0); before && !before->empty()) seen = before->back().id;
  return [=, pause = std::move(pause), last = std::make_shared<std::int64_t>(seen)](const PlayedClip&) {
    return wait_for_turns(logbook, patience, pause, *last);
  };
}

}  // namespace halfarc
