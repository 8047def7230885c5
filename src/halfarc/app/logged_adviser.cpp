#include "halfarc/app/logged_adviser.h"

#include <algorithm>
#include <utility>

#include "halfarc/app/advice_basis.h"
#include "halfarc/app/night_history.h"

namespace halfarc {
namespace {

constexpr Angle kTakenOut = Angle::deg(20.0);  // by which a camera put back is turned (common practice)

Result<History> history_of_date(const OwnerLog& log, Utc at) {
  HALFARC_TRY(const std::int64_t night,
              log.database.number("SELECT max(id) FROM nights WHERE date = ?", log.date_of(at)));
  return night_history(log.database, night);
}

// How the camera was turned when a clip last told. It may have been taken out between two nights: then that only says
// which end was up.
Result<std::optional<Measured<Angle>>> zenith_before(const OwnerLog& log, Utc at) {
  HALFARC_TRY(const auto told, readings_named(log.database, "camera_angle", {log.rig, std::nullopt}));
  std::optional<Measured<Angle>> zenith;
  for (const DatedReading& one : told) {
    if (one.utc > at) break;
    const bool tonight = at - one.utc < Duration::hours(14.0);
    zenith = Measured<Angle>{Angle::deg(one.value), std::max(Angle::deg(one.sigma), tonight ? Angle() : kTakenOut)};
  }
  return zenith;
}

}  // namespace

Result<Tonight> tonight_before(const OwnerLog& log, Utc at) {
  Tonight tonight;
  HALFARC_TRY(tonight.history, history_of_date(log, at));
  const auto not_before = [at](const auto& event) { return event.utc >= at; };
  std::erase_if(tonight.history.readings, not_before);
  std::erase_if(tonight.history.turns, not_before);
  HALFARC_TRY(tonight.zenith, zenith_before(log, at));
  HALFARC_TRY(tonight.responses, responses_before(log.database, log.rig, tonight.history));
  return tonight;
}

ClipAdviser logged_adviser(std::filesystem::path home, Rig rig, TrainSolution train) {
  return [home = std::move(home), rig = std::move(rig), train = std::move(train)](const ClipCheck& check) {
    Tonight tonight;
    const auto log = read_owner_log(home);
    if (const auto mid = check.mid(); log && mid) {
      if (auto known = tonight_before(*log, *mid)) tonight = std::move(*known);
    }
    return clip_adviser(rig, train, std::move(tonight))(check);
  };
}

Result<void> learn_tonight(OwnerLog& log, const Rig& rig, const TrainSolution& train, Utc at) {
  HALFARC_TRY(const History history, history_of_date(log, at));
  HALFARC_TRY(const Responses before, responses_before(log.database, log.rig, history));
  HALFARC_TRY(const NightAdvice night, advise(advice_basis(rig, train), before, history));
  return keep_responses(log.database, log.rig, history, night.responses);
}

}  // namespace halfarc
