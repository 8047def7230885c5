#include "keep.h"

#include <fmt/format.h>

#include <vector>

#include "halfarc/app/clip_advice.h"
#include "halfarc/app/keep_log.h"
#include "halfarc/app/logged_adviser.h"
#include "here.h"

namespace halfarc::cli {

void add_no_log_flag(CLI::App& command, bool& no_log) {
  command.add_flag("--no-log", no_log, "Write nothing into the logbook");
}

void keep_in_log(bool no_log, const std::function<Result<void>(OwnerLog&, Utc)>& keep) {
  const std::filesystem::path home = home_of_owner();
  std::error_code ignored;
  if (no_log || !std::filesystem::is_directory(home, ignored)) return;
  auto log = open_owner_log(home);
  const auto kept = log ? keep(*log, Utc::now()) : Result<void>(log.error());
  if (!kept) fmt::print(stderr, "halfarc: not in the logbook: {}\n", kept.error().line());
}

void keep_clip_in_log(bool no_log, const ClipCheck& check) {
  keep_in_log(no_log, [&](OwnerLog& log, Utc now) -> Result<void> {
    HALFARC_TRY(const auto owned, rig_of_owner());
    HALFARC_CHECK(keep_check(log, check, now, owned ? advice_readings(check, owned->rig) : std::vector<Reading>()));
    const auto mid = check.mid();
    return owned && mid ? learn_tonight(log, owned->rig, owned->train, *mid) : Result<void>();
  });
}

}  // namespace halfarc::cli
