#include "halfarc/app/session_report.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

#include "halfarc/app/blur_budget.h"
#include "halfarc/app/here.h"
#include "halfarc/app/home.h"
#include "halfarc/app/log_words.h"
#include "halfarc/app/night_log.h"
#include "halfarc/app/owner_log.h"
#include "halfarc/app/report_image.h"
#include "halfarc/base/file_status.h"
#include "halfarc/budget/blur.h"
#include "halfarc/frames/recording.h"
#include "halfarc/logbook/images.h"
#include "halfarc/report/session_json.h"
#include "halfarc/report/session_page.h"
#include "halfarc/report/session_text.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

// A run, or several, that became the best image of a target.
struct BestImage {
  sky::Body target;
  const ImageRow* image = nullptr;
  std::vector<const LoggedRecording*> runs;
};

std::optional<Measured<double>> reading(const LoggedRecording& recording, std::string_view name) {
  for (const KeptReading& kept : recording.readings) {
    if (kept.reading.name == name && kept.reading.sigma)
      return Measured<double>{kept.reading.value, *kept.reading.sigma};
  }
  return std::nullopt;
}

std::vector<SessionSeeing> seeing_of(const NightLog& log) {
  std::vector<SessionSeeing> found;
  for (const LoggedRecording& r : log.recordings) {
    if (const auto width = reading(r, "seeing_zenith"))
      found.push_back({r.row.start, {Angle::arcsec(width->value), Angle::arcsec(width->sigma)}});
  }
  return found;
}

SessionImage image_of(const ImageRow& row, const std::string& target) {
  SessionImage image;
  image.name = fs::path(row.path).filename().string();
  image.object = target;
  image.utc = row.utc;
  image.frames_used = row.frames_used;
  image.frames_read = row.frames_read;
  if (row.resolved_arcsec && row.resolved_sigma)
    image.resolved = Measured<Angle>{Angle::arcsec(*row.resolved_arcsec), Angle::arcsec(*row.resolved_sigma)};
  if (auto picture = report_picture(row.path)) image.picture = std::move(*picture);
  return image;
}

// The runs of an image, as far as they belong to this night.
Result<std::vector<const LoggedRecording*>> runs_in(const Database& database, const NightLog& log,
                                                    const ImageRow& image) {
  HALFARC_TRY(const auto ids, runs_of(database, image.id));
  std::vector<const LoggedRecording*> runs;
  for (const LoggedRecording& r : log.recordings) {
    if (std::find(ids.begin(), ids.end(), r.row.id) != ids.end()) runs.push_back(&r);
  }
  return runs;
}

// The state of the telescope as the night told it, and which rows of the budget that settles.
struct ToldState {
  TelescopeState state;
  bool coma = false;
  bool length = false;

  bool settles(Cause cause) const {
    if (cause == Cause::collimation) return coma;
    return length && (cause == Cause::spin || cause == Cause::field_rotation);
  }
};

// Coma of the last ring before the run, unless a screw was turned after it.
void take_coma(const NightLog& log, Utc before, ToldState& told) {
  Utc ring;
  for (const LoggedRecording& r : log.recordings) {
    const auto x = reading(r, "coma_x");
    const auto y = reading(r, "coma_y");
    if (!x || !y || r.row.start > before) continue;
    told.state.coma_waves = {std::hypot(x->value, y->value), std::hypot(x->sigma, y->sigma) / std::sqrt(2.0)};
    told.coma = true;
    ring = r.row.start;
  }
  const bool turned = std::any_of(log.turns.begin(), log.turns.end(), [&](const TurnRow& t) {
    return t.control.starts_with("screw") && t.amount != 0.0 && t.utc > ring && t.utc < before;
  });
  if (!told.coma || !turned) return;
  told.state.coma_waves = TelescopeState{}.coma_waves;
  told.coma = false;
}

ToldState state_of(const NightLog& log, const BestImage& best) {
  ToldState told;
  const RecordingRow& first = best.runs.front()->row;
  const RecordingRow& last = best.runs.back()->row;
  take_coma(log, first.start, told);
  for (const SessionSeeing& s : seeing_of(log)) {
    if (s.utc <= first.start) told.state.seeing = s.width;
  }
  if (last.end && *last.end > first.start) {
    told.state.run = *last.end - first.start;
    told.length = true;
  }
  const std::int64_t used = best.image->frames_used;
  const std::int64_t read = best.image->frames_read;
  if (read > 0) told.state.kept = std::clamp(static_cast<double>(used) / static_cast<double>(read), 0.001, 1.0);
  return told;
}

const BudgetRow* row_for(const Budget& budget, Cause cause) {
  const auto at = std::find_if(budget.rows.begin(), budget.rows.end(),
                               [&](const BudgetRow& row) { return row.blur.cause == cause; });
  return at == budget.rows.end() ? nullptr : &*at;
}

SessionCause cause_of(const BudgetRow& row, const Budget& predicted, const ToldState& told) {
  SessionCause cause;
  cause.cause = words_of(row.blur.cause);
  if (const BudgetRow* before = row_for(predicted, row.blur.cause)) cause.predicted = before->half_arc_contrast;
  if (row.blur.measured || told.settles(row.blur.cause)) cause.measured = row.half_arc_contrast;
  if (!row.blur.undone) cause.gain = row.gain;
  cause.remedy = remedy_of(row.blur.cause);
  cause.because = row.blur.because;
  if (row.blur.cause == Cause::collimation && told.coma) cause.because += ", by the last ring before the run";
  return cause;
}

Result<SessionBudget> budget_for(const NightLog& log, const BestImage& best, const NamedSite& place, const Rig& rig,
                                 Threads threads, Progress& progress) {
  BudgetRequest request;
  request.rig = rig;
  request.target = best.target;
  request.site = place.site;
  request.site_name = place.name;
  request.utc = best.image->utc;
  request.sun_rule = {Angle(), "a report points nothing anywhere"};
  request.threads = threads;
  HALFARC_TRY(const BlurBudget before, blur_budget(request, progress));

  const ToldState told = state_of(log, best);
  request.state = told.state;
  SessionBudget budget;
  for (const LoggedRecording* run : best.runs) {
    if (file_status(run->row.path)) request.runs.push_back(run->row.path);
  }
  if (request.runs.size() < best.runs.size()) {
    budget.notes.push_back("The runs are no longer where they were recorded: what their frames would say is missing.");
    request.runs.clear();
  }
  if (!request.runs.empty()) {
    if (const auto recording = open_recording(request.runs.front()))
      request.state.exposure = (*recording)->info().exposure;
  }
  HALFARC_TRY(const BlurBudget after, blur_budget(request, progress));
  const Budget& measured = after.measured ? *after.measured : after.predicted;
  budget.target = sky::name_of(best.target);
  budget.utc = request.utc;
  budget.altitude = after.altitude;
  for (const BudgetRow& row : measured.rows) budget.causes.push_back(cause_of(row, before.predicted, told));
  budget.predicted = before.predicted.half_arc_contrast;
  budget.measured = measured.half_arc_contrast;
  budget.notes.insert(budget.notes.end(), after.notes.begin(), after.notes.end());
  return budget;
}

// Of each target the image that resolves most.
void keep_best(std::vector<BestImage>& all, BestImage one) {
  const auto same = std::find_if(all.begin(), all.end(), [&](const BestImage& b) { return b.target == one.target; });
  const auto resolved = [](const BestImage& b) { return b.image->resolved_arcsec.value_or(1e9); };
  if (same == all.end()) {
    all.push_back(std::move(one));
  } else if (resolved(one) < resolved(*same)) {
    *same = std::move(one);
  }
}

}  // namespace

Result<Session> session_report(const SessionRequest& request, Progress& progress) {
  HALFARC_TRY(const OwnerLog owner, read_owner_log(request.home));
  HALFARC_TRY(const NightRow row, night_named(owner.database, request.night));
  HALFARC_TRY(const NightLog log, night_log(owner.database, row));
  HALFARC_TRY(const auto place, site_of_home(request.home));
  HALFARC_TRY(const auto rig, solved_rig_of_home(request.home));

  Session session;
  session.date = row.date;
  session.place = row.site;
  if (rig) session.telescope = rig->rig.name;
  session.recordings = row.recordings;
  session.turns = row.turns;
  session.notes = row.notes;
  for (LogLine& line : log_lines(log)) session.lines.push_back({line.utc, std::move(line.words)});
  session.seeing = seeing_of(log);
  std::vector<BestImage> best;
  for (const ImageRow& image : log.images) {
    HALFARC_TRY(auto runs, runs_in(owner.database, log, image));
    const std::string target = runs.empty() ? std::string() : runs.front()->row.target;
    session.images.push_back(image_of(image, target));
    if (const auto body = sky::parse_body(target); body && !runs.empty())
      keep_best(best, {*body, &image, std::move(runs)});
  }
  if (!best.empty() && !(place && rig))
    session.remarks.push_back("There is no budget without site.toml and rig.toml; `halfarc init` writes them.");
  if (place && rig) {
    for (const BestImage& one : best) {
      auto budget = budget_for(log, one, *place, rig->rig, request.threads, progress);
      if (progress.stop_requested()) return cancelled();
      if (budget) {
        session.budgets.push_back(std::move(*budget));
      } else {
        session.remarks.push_back(
            fmt::format("There is no budget of {}: {}", sky::name_of(one.target), budget.error().line()));
      }
    }
  }
  session.next = next_time(session.budgets);
  return session;
}

Result<std::string> session_as(const std::string& form, const Session& session) {
  if (form == "txt") return session_text(session);
  if (form == "json") return session_json(session) + "\n";
  if (form == "html") return session_page(session);
  return bad_input("a report of a night has no such form", form, "choose html, txt or json");
}

}  // namespace halfarc
