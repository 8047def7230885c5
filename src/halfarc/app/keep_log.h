// keep_log: what commands found, the hand did and the owner wrote, into the logbook.
//
// Each function is one transaction: when it returns without an Error, all of it is on the disk.
#pragma once

#include <cstdint>
#include <span>
#include <string>

#include "halfarc/advise/control.h"
#include "halfarc/advise/history.h"
#include "halfarc/app/check_clip.h"
#include "halfarc/app/find_focus.h"
#include "halfarc/app/make_image.h"
#include "halfarc/app/owner_log.h"
#include "halfarc/logbook/notes.h"
#include "halfarc/logbook/turns.h"

namespace halfarc {

// A recording without times is dated by its file, and by `now` when that is gone.
// Errors of each: those of the file; of keep_focus also those of opening the clips.
// `for_advice`: readings that advice can use beyond the clip's own numbers (app/clip_advice.h), kept with them.
Result<void> keep_check(OwnerLog& log, const ClipCheck& check, Utc now, std::span<const Reading> for_advice = {});
// Gives when the last clip began, by which the night is known.
Result<Utc> keep_focus(OwnerLog& log, const FoundFocus& found, Utc now);
Result<void> keep_image(OwnerLog& log, const MadeImage& made, Utc now);

// Gives the turn as it stands in the logbook. An amount of nothing says that the hand left it alone.
// Errors: those of the file.
Result<TurnRow> keep_turn(OwnerLog& log, const Turned& turned, Utc at);

// Gives the note as it stands in the logbook. Errors: no text (bad input); those of the file.
Result<NoteRow> keep_note(OwnerLog& log, const std::string& text, std::optional<double> wind_m_per_s, Utc at);

// "screw-b 1/8 turn clockwise", "focus left alone"
std::string amount_words(const TurnRow& turn);

// What was noted and what to do next, in one line: "Noted at 21:04 UTC: screw-b 1/8 turn clockwise. Next: ..."
std::string turned_words(const TurnRow& turn);

// That a turn no longer counts, and that the telescope does not know it.
std::string taken_back_words(const TurnRow& turn);

// A turn of the logbook as one of the hand's. Errors: a control that this halfarc does not know (bad input).
Result<Turned> turned_of(const TurnRow& turn);

}  // namespace halfarc
