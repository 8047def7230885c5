// Session: everything that a report of one night says, as plain values: what was done hour by hour, the images, what
// blurred them as predicted and as measured, and what would gain most next time.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "halfarc/base/angle.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/utc.h"
#include "halfarc/report/observation_page.h"

namespace halfarc {

// A line of the log: a recording and its readings, a turn, a note.
struct SessionLine {
  Utc utc;
  std::string words;
};

// Width of a star at the zenith, 500 nm, long exposure, as one clip or run had it.
struct SessionSeeing {
  Utc utc;
  Measured<Angle> width;
};

struct SessionImage {
  std::string name;  // of its file
  std::string object;
  Utc utc;
  std::int64_t frames_used = 0, frames_read = 0;
  std::optional<Measured<Angle>> resolved;  // period, green
  ReportPicture picture;                    // empty when its PNG is gone
};

// One cause of blur: what it leaves of the contrast of half-arc detail.
struct SessionCause {
  std::string cause;
  std::optional<Measured<double>> predicted;  // for a usual night and a careful owner
  std::optional<Measured<double>> measured;   // by this night's recordings
  std::optional<double> gain;                 // share of contrast that mending it would add; nothing for what is undone
  std::string because;
  std::string remedy;  // what can be done about it; empty where nothing can
};

struct SessionBudget {
  std::string target;
  Utc utc;
  Angle altitude;
  std::vector<SessionCause> causes;  // the greatest gain first
  Measured<double> predicted;        // of all together
  Measured<double> measured;         // with what was measured in place of what was predicted
  std::vector<std::string> notes;
};

// What to do otherwise, and what it is worth.
struct NextTime {
  std::string cause;   // "tube heat"
  std::string remedy;  // "let it cool: fan, or wait"
  std::string target;  // for which it would have gained most
  double gain = 0.0;   // share of half-arc contrast
  bool sure = false;   // the loss is larger than its own error
  bool measured = false;
};

struct Session {
  std::string date;  // of the evening
  std::string place;
  std::string telescope;
  std::int64_t recordings = 0, turns = 0, notes = 0;
  std::vector<SessionLine> lines;      // in order of time
  std::vector<SessionSeeing> seeing;   // in order of time
  std::vector<SessionImage> images;    // in order of time
  std::vector<SessionBudget> budgets;  // one a target
  std::vector<NextTime> next;          // the greatest gain first
  std::vector<std::string> remarks;    // why something is missing
};

// The causes of all budgets whose mending gains at least 2 %, each once, for the target to which it would have brought
// most; the greatest gain first. Causes without a remedy are left out.
std::vector<NextTime> next_time(const std::vector<SessionBudget>& budgets);

}  // namespace halfarc
