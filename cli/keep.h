// Keep: what the commands found goes into the owner's logbook, when there is a home folder to keep it in. The reading
// on the screen never waits for it: a logbook that cannot be written is said in one line on stderr, and that is all.
#pragma once

#include <CLI/CLI.hpp>

#include <functional>

#include "halfarc/app/check_clip.h"
#include "halfarc/app/owner_log.h"

namespace halfarc::cli {

// --no-log
void add_no_log_flag(CLI::App& command, bool& no_log);

// Does `keep` with the logbook and the present moment, unless `no_log` or there is no home folder.
void keep_in_log(bool no_log, const std::function<Result<void>(OwnerLog&, Utc)>& keep);

// The same for a clip that was checked, and for what the night has taught with it.
void keep_clip_in_log(bool no_log, const ClipCheck& check);

}  // namespace halfarc::cli
