#include "halfarc/app/log_asked.h"

#include <optional>

#include "halfarc/app/keep_log.h"
#include "halfarc/app/log_document.h"
#include "halfarc/app/log_table.h"
#include "halfarc/app/owner_log.h"
#include "halfarc/app/trends.h"
#include "halfarc/app/turn_moment.h"
#include "halfarc/logbook/nights.h"
#include "halfarc/logbook/responses.h"

namespace halfarc {
namespace {

bool has_log(const std::filesystem::path& home) {
  std::error_code ignored;
  return std::filesystem::exists(logbook_of_home(home), ignored);
}

}  // namespace

Result<std::string> log_list_asked(const std::filesystem::path& home, const std::string& search) {
  if (!has_log(home)) return log_list_json({});
  HALFARC_TRY(const OwnerLog log, read_owner_log(home));
  HALFARC_TRY(const auto found, nights(log.database, {search, std::nullopt}));
  return log_list_json(found);
}

Result<std::string> log_night_asked(const std::filesystem::path& home, const std::string& night) {
  HALFARC_TRY(const OwnerLog log, read_owner_log(home));
  HALFARC_TRY(const NightRow row, night_named(log.database, night));
  HALFARC_TRY(const NightLog found, night_log(log.database, row));
  return log_night_json(found);
}

Result<std::string> log_trends_asked(const std::filesystem::path& home) {
  if (!has_log(home)) return log_trends_json({}, {});
  HALFARC_TRY(const OwnerLog log, read_owner_log(home));
  HALFARC_TRY(const Trends found, trends_of(log.database, log.rig, home));
  HALFARC_TRY(const auto responses, responses_of(log.database, log.rig));
  return log_trends_json(found, responses);
}

Result<std::string> log_export_asked(const std::filesystem::path& home, bool as_table) {
  HALFARC_TRY(const OwnerLog log, read_owner_log(home));
  std::string all;
  const TextSink sink = [&all](std::string_view text) -> Result<void> {
    all += text;
    return {};
  };
  HALFARC_CHECK(as_table ? export_csv(log.database, sink) : export_json(log.database, sink));
  return all;
}

Result<void> note_asked(const std::filesystem::path& home, const std::string& text, Utc now) {
  HALFARC_TRY(OwnerLog log, open_owner_log(home));
  HALFARC_TRY([[maybe_unused]] const NoteRow row, keep_note(log, text, std::nullopt, now));
  return {};
}

Result<std::string> turned_asked(const std::filesystem::path& home, const std::string& control,
                                 const std::string& amount, Utc now) {
  HALFARC_TRY(const Control which, control_named(control));
  HALFARC_TRY(const Turned what, parse_turned(which, amount));
  HALFARC_TRY(OwnerLog log, open_owner_log(home));
  HALFARC_TRY(const Utc at, moment_of_turn(log, now));
  HALFARC_TRY(const TurnRow turn, keep_turn(log, what, at));
  return turned_words(turn);
}

}  // namespace halfarc
