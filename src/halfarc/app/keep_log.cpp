#include "halfarc/app/keep_log.h"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "halfarc/app/clip_readings.h"
#include "halfarc/app/night_history.h"
#include "halfarc/app/when.h"
#include "halfarc/base/file_status.h"
#include "halfarc/logbook/images.h"
#include "halfarc/logbook/recordings.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

// When the file was written last.
std::optional<Utc> file_time(const fs::path& path) {
  const auto status = file_status(path);
  return status ? std::optional(status->written) : std::nullopt;
}

fs::path whole_path(const fs::path& path) {
  std::error_code problem;
  const fs::path whole = fs::weakly_canonical(path, problem);
  return problem ? path : whole;
}

RecordingRow row_of(const OwnerLog& log, const RecordingInfo& info, Utc now) {
  RecordingRow row;
  row.rig = log.rig;
  row.path = whole_path(info.path).string();
  row.frames = static_cast<std::int64_t>(info.frames);
  row.width = info.width;
  row.height = info.height;
  if (!info.times.empty()) {
    const auto [first, last] = std::minmax_element(info.times.begin(), info.times.end());
    row.start = *first;
    row.end = *last;
  } else {
    row.start = info.start ? *info.start : file_time(info.path).value_or(now);
  }
  return row;
}

Result<std::int64_t> put(OwnerLog& log, RecordingRow row) {
  HALFARC_TRY(row.night, log.night_of(row.start));
  return put_recording(log.database, row);
}

// What the next clip should be, so that it tells what the turn did.
std::string_view next_after(Control control) {
  switch (control) {
    case Control::focus:
      return "let the picture settle, then record 5 to 10 s and check it";
    case Control::levers:
    case Control::roll:
      return "record 5 s of the same target and check it: the colours tell what the prisms did";
    case Control::screw_a:
    case Control::screw_b:
    case Control::screw_c:
      return "bring the star back to the middle, record 10 s out of focus as before, and check it";
    case Control::altitude:
    case Control::azimuth:
      return "record 5 s and check it: the place of the target tells which way the camera stands";
    case Control::spacing:
      return "find focus again, then record 5 s and check it: the scale has changed";
    case Control::exposure:
      return "record 5 s and check it for burnt-out samples";
    case Control::cooling:
      return "record 10 s of a star out of focus and check it for a plume";
  }
  return "record a clip and check it";
}

}  // namespace

Result<void> keep_check(OwnerLog& log, const ClipCheck& check, Utc now, std::span<const Reading> for_advice) {
  HALFARC_TRY(Transaction together, Transaction::begin(log.database));
  RecordingRow row = row_of(log, check.recording, now);
  row.kind = std::string(name(check.kind));
  if (check.target) row.target = std::string(sky::name_of(*check.target));
  HALFARC_TRY(const std::int64_t recording, put(log, row));
  std::vector<ReadingRow> rows = readings_of(check);
  for (const Reading& reading : for_advice) {
    for (ReadingRow& extra : rows_of(reading)) {
      const auto same = [&](const ReadingRow& kept) { return kept.name == extra.name; };
      if (std::none_of(rows.begin(), rows.end(), same)) rows.push_back(std::move(extra));
    }
  }
  HALFARC_CHECK(replace_readings(log.database, recording, "check", rows));
  return together.commit();
}

Result<Utc> keep_focus(OwnerLog& log, const FoundFocus& found, Utc now) {
  std::vector<RecordingRow> rows;
  for (const FocusAsk& ask : found.asks) {
    HALFARC_TRY(const auto recording, open_recording(ask.clip));
    rows.push_back(row_of(log, recording->info(), now));
  }
  HALFARC_TRY(Transaction together, Transaction::begin(log.database));
  for (std::size_t i = 0; i < rows.size(); ++i) {
    HALFARC_TRY(const std::int64_t recording, put(log, rows[i]));
    HALFARC_CHECK(replace_readings(log.database, recording, "focus", readings_of(found, i)));
  }
  HALFARC_CHECK(together.commit());
  return rows.back().start;
}

Result<void> keep_image(OwnerLog& log, const MadeImage& made, Utc now) {
  HALFARC_TRY(Transaction together, Transaction::begin(log.database));
  std::vector<std::int64_t> runs;
  Utc first_start = now;
  for (const RecordingInfo& info : made.runs) {
    RecordingRow row = row_of(log, info, now);
    if (made.target) row.target = std::string(sky::name_of(*made.target));
    if (runs.empty()) first_start = row.start;
    HALFARC_TRY(const std::int64_t recording, put(log, row));
    runs.push_back(recording);
  }
  if (runs.size() == 1) HALFARC_CHECK(replace_readings(log.database, runs.front(), "make", readings_of(made)));
  ImageRow image;
  image.utc = made.reference.value_or(first_start);
  HALFARC_TRY(image.night, log.night_of(image.utc));
  image.path = made.outputs.empty() ? "" : whole_path(made.outputs.front()).string();
  image.frames_read = static_cast<std::int64_t>(made.frames_read);
  image.frames_used = static_cast<std::int64_t>(made.frames_used);
  image.resolved_arcsec = made.resolved[1].value.arcsec();
  image.resolved_sigma = made.resolved[1].sigma.arcsec();
  HALFARC_TRY([[maybe_unused]] const std::int64_t id, put_image(log.database, image, runs));
  return together.commit();
}

Result<TurnRow> keep_turn(OwnerLog& log, const Turned& turned, Utc at) {
  HALFARC_TRY(Transaction together, Transaction::begin(log.database));
  TurnRow row;
  row.utc = at;
  row.control = std::string(name_of(turned.control));
  row.amount = turned.amount;
  row.unit = std::string(unit_of(turned.control));
  HALFARC_TRY(row.night, log.night_of(at));
  HALFARC_TRY(row.id, add_turn(log.database, row));
  HALFARC_CHECK(together.commit());
  return row;
}

Result<NoteRow> keep_note(OwnerLog& log, const std::string& text, std::optional<double> wind_m_per_s, Utc at) {
  if (text.find_first_not_of(" \t\r\n") == std::string::npos)
    return bad_input("a note without words", "", "write it like: halfarc log note \"haze low down\"");
  HALFARC_TRY(Transaction together, Transaction::begin(log.database));
  NoteRow row{0, 0, at, text, wind_m_per_s};
  HALFARC_TRY(row.night, log.night_of(at));
  HALFARC_TRY(row.id, add_note(log.database, row));
  HALFARC_CHECK(together.commit());
  return row;
}

std::string turned_words(const TurnRow& turn) {
  std::string words = fmt::format("Noted at {} UTC: {}.", clock(turn.utc), amount_words(turn));
  if (const auto turned = turned_of(turn)) words += fmt::format(" Next: {}.", next_after(turned->control));
  return words;
}

std::string taken_back_words(const TurnRow& turn) {
  return fmt::format("No longer noted: {} at {} UTC. If the hand did turn it, turn it back or note it anew.",
                     amount_words(turn), clock(turn.utc));
}

std::string amount_words(const TurnRow& turn) {
  if (turn.amount == 0.0) return turn.control + " left alone";
  const auto turned = turned_of(turn);
  return turned ? fmt::format("{} {}", turn.control, in_words(*turned))
                : fmt::format("{} {:.3g} {}", turn.control, turn.amount, turn.unit);
}

Result<Turned> turned_of(const TurnRow& turn) {
  HALFARC_TRY(const Control control, control_named(turn.control));
  return Turned{control, turn.amount};
}

}  // namespace halfarc
