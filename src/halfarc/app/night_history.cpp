#include "halfarc/app/night_history.h"

#include <algorithm>
#include <cmath>
#include <span>
#include <string>
#include <string_view>
#include <utility>

#include "halfarc/app/keep_log.h"
#include "halfarc/app/night_log.h"
#include "halfarc/logbook/responses.h"

namespace halfarc {
namespace {

// Under which names a reading stands in the logbook; `y` is empty for one of a single number.
struct Names {
  Reads what;
  std::string_view x, y, unit;
  bool sign_known = true;
};
constexpr Names kNames[] = {
    {Reads::coma, "coma_x", "coma_y", "waves"},
    {Reads::colours, "colours_x", "colours_y", "arcsec"},
    {Reads::focus, "focus_left", "", "turn"},
    {Reads::defocus, "defocus", "", "waves"},
    {Reads::defocus, "defocus_size", "", "waves", false},
    {Reads::waves_per_turn, "waves_per_turn", "", "waves/turn"},
    {Reads::backlash, "backlash", "", "turn"},
};

std::string between(const Names& names) { return std::string(names.x.substr(0, names.x.size() - 1)) + "xy"; }

const ReadingRow* row_named(const LoggedRecording& recording, std::string_view name) {
  for (const KeptReading& kept : recording.readings) {
    if (kept.reading.name == name) return &kept.reading;
  }
  return nullptr;
}

double variance(const ReadingRow& row) { return *row.sigma * *row.sigma; }

std::optional<Reading> reading_of(const LoggedRecording& recording, const Names& names) {
  const ReadingRow* x = row_named(recording, names.x);
  const ReadingRow* y = names.y.empty() ? nullptr : row_named(recording, names.y);
  if (x == nullptr || !x->sigma || (!names.y.empty() && (y == nullptr || !y->sigma))) return std::nullopt;
  Reading reading;
  reading.utc = recording.row.start;
  if (recording.row.end) reading.utc = reading.utc + (*recording.row.end - recording.row.start) * 0.5;
  reading.what = names.what;
  reading.sign_known = names.sign_known;
  reading.target = recording.row.target;
  reading.x = x->value;
  reading.scatter.xx = variance(*x);
  if (y != nullptr) {
    reading.y = y->value;
    reading.scatter.yy = variance(*y);
    if (const ReadingRow* xy = row_named(recording, between(names))) reading.scatter.xy = xy->value;
  }
  if (names.what == Reads::colours) {
    if (const ReadingRow* air = row_named(recording, "colours_air")) reading.air = Angle::arcsec(air->value);
  }
  if (names.what == Reads::focus) {
    if (const ReadingRow* arrived = row_named(recording, "knob_arrived")) reading.arrived = arrived->value;
  }
  return reading;
}

// Turns of these controls after which that was read.
std::int64_t pairs_of(const History& history, std::span<const Control> controls, Reads what) {
  const auto taught = [&](const Turn& turn) {
    const bool ours = std::find(controls.begin(), controls.end(), turn.turned.control) != controls.end();
    return ours && turn.turned.amount != 0.0 &&
           std::any_of(history.readings.begin(), history.readings.end(),
                       [&](const Reading& r) { return r.what == what && r.utc > turn.utc; });
  };
  return std::count_if(history.turns.begin(), history.turns.end(), taught);
}

std::optional<Utc> first_of(const History& history) {
  std::optional<Utc> first;
  const auto look = [&](Utc utc) { first = first ? std::min(*first, utc) : utc; };
  for (const Reading& reading : history.readings) look(reading.utc);
  for (const Turn& turn : history.turns) look(turn.utc);
  return first;
}

Utc last_of(const History& history) {
  Utc last = Utc::unix_ns(0);
  for (const Reading& reading : history.readings) last = std::max(last, reading.utc);
  for (const Turn& turn : history.turns) last = std::max(last, turn.utc);
  return last;
}

const ResponseRow* find(const std::vector<ResponseRow>& rows, std::string_view control, std::string_view reading) {
  const auto at = std::find_if(rows.begin(), rows.end(), [&](const ResponseRow& row) {
    return row.control == control && row.reading == reading;
  });
  return at == rows.end() ? nullptr : &*at;
}

Measured<double> measured(const ResponseRow& row) { return {row.value, row.sigma}; }

// What the responses look like as rows; `pairs` and `utc` are the caller's.
std::vector<ResponseRow> rows_of(const ScrewResponse& r) {
  return {{{}, "screw-a", "coma_x", r.x, std::sqrt(r.scatter.xx), "waves/turn", 0, {}},
          {{}, "screw-a", "coma_y", r.y, std::sqrt(r.scatter.yy), "waves/turn", 0, {}},
          {{}, "screw-a", "coma_xy", r.scatter.xy, 0.0, "waves^2/turn^2", 0, {}},
          {{}, "screw-a", "counter_clockwise", r.counter_clockwise, 0.0, "", 0, {}}};
}
std::vector<ResponseRow> rows_of(const CorrectorResponse& r) {
  return {{{}, "levers", "strength", r.strength.value, r.strength.sigma, "", 0, {}},
          {{}, "roll", "clockwise", r.clockwise, 0.0, "", 0, {}}};
}
std::vector<ResponseRow> rows_of(const KnobResponse& r) {
  return {{{}, "focus", "waves_per_turn", r.waves_per_turn.value, r.waves_per_turn.sigma, "waves/turn", 0, {}},
          {{}, "focus", "backlash", r.backlash.value, r.backlash.sigma, "turn", 0, {}}};
}

}  // namespace

std::vector<ReadingRow> rows_of(const Reading& reading) {
  std::vector<ReadingRow> rows;
  for (const Names& names : kNames) {
    if (names.what != reading.what || names.sign_known != reading.sign_known) continue;
    const std::string unit(names.unit);
    rows.push_back({std::string(names.x), reading.x, std::sqrt(reading.scatter.xx), unit});
    if (names.y.empty()) continue;
    rows.push_back({std::string(names.y), reading.y, std::sqrt(reading.scatter.yy), unit});
    rows.push_back({between(names), reading.scatter.xy, std::nullopt, unit + "^2"});
  }
  if (reading.arrived != 0.0) rows.push_back({"knob_arrived", reading.arrived, std::nullopt, ""});
  if (reading.air) rows.push_back({"colours_air", reading.air->arcsec(), std::nullopt, "arcsec"});
  return rows;
}

Result<History> night_history(const Database& database, std::int64_t night) {
  NightRow row;
  row.id = night;
  HALFARC_TRY(const NightLog log, night_log(database, row));
  History history;
  for (const LoggedRecording& recording : log.recordings) {
    for (const Names& names : kNames) {
      if (auto reading = reading_of(recording, names)) history.readings.push_back(std::move(*reading));
    }
  }
  for (const TurnRow& turn : log.turns) {
    if (const auto turned = turned_of(turn)) history.turns.push_back({turn.utc, *turned});
  }
  return history;
}

Result<Responses> responses_before(const Database& database, std::optional<std::int64_t> rig, const History& history) {
  HALFARC_TRY(const auto rows, responses_of(database, rig, first_of(history)));
  Responses known;
  const auto *x = find(rows, "screw-a", "coma_x"), *y = find(rows, "screw-a", "coma_y");
  const auto *xy = find(rows, "screw-a", "coma_xy"), *way = find(rows, "screw-a", "counter_clockwise");
  if (x != nullptr && y != nullptr && xy != nullptr && way != nullptr)
    known.screws = ScrewResponse{x->value, y->value, {x->sigma * x->sigma, xy->value, y->sigma * y->sigma}, way->value};
  const auto *strength = find(rows, "levers", "strength"), *clockwise = find(rows, "roll", "clockwise");
  if (strength != nullptr && clockwise != nullptr)
    known.corrector = CorrectorResponse{measured(*strength), clockwise->value};
  const auto *waves = find(rows, "focus", "waves_per_turn"), *backlash = find(rows, "focus", "backlash");
  if (waves != nullptr && backlash != nullptr) known.knob = KnobResponse{measured(*waves), measured(*backlash)};
  return known;
}

Result<void> keep_responses(Database& database, std::optional<std::int64_t> rig, const History& history,
                            const Responses& learned) {
  HALFARC_TRY(const auto before, responses_of(database, rig, first_of(history)));
  const Utc utc = last_of(history);
  const auto keep = [&](std::vector<ResponseRow> rows, std::int64_t pairs) -> Result<void> {
    if (pairs == 0) return {};
    for (ResponseRow& row : rows) {
      const ResponseRow* known = find(before, row.control, row.reading);
      row.rig = rig;
      row.utc = utc;
      row.pairs = pairs + (known != nullptr ? known->pairs : 0);
      HALFARC_CHECK(add_response(database, row));
    }
    return {};
  };
  constexpr Control screws[] = {Control::screw_a, Control::screw_b, Control::screw_c};
  constexpr Control prisms[] = {Control::levers, Control::roll};
  constexpr Control knob[] = {Control::focus};
  HALFARC_TRY(Transaction together, Transaction::begin(database));
  if (learned.screws) HALFARC_CHECK(keep(rows_of(*learned.screws), pairs_of(history, screws, Reads::coma)));
  if (learned.corrector) HALFARC_CHECK(keep(rows_of(*learned.corrector), pairs_of(history, prisms, Reads::colours)));
  if (learned.knob) {
    const std::int64_t pairs = pairs_of(history, knob, Reads::focus) + pairs_of(history, knob, Reads::defocus);
    HALFARC_CHECK(keep(rows_of(*learned.knob), pairs));
  }
  return together.commit();
}

}  // namespace halfarc
