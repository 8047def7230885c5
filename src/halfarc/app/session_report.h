// Session report: one night of the logbook with its images and, for every target that became an image, what blurred it
// as predicted and as measured. The use case behind `halfarc report --night`.
//
// Predicted is a usual night and a careful owner, with the rig and the hour as they were. Measured puts in their place
// what the runs of the best image say, where their files are still there, and what the night's clips said before: coma
// of the last ring, seeing of the last clip, length and exposure of the run.
#pragma once

#include <filesystem>
#include <string>

#include "halfarc/base/parallel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/report/session.h"

namespace halfarc {

struct SessionRequest {
  std::filesystem::path home;
  std::string night;  // its number, or the date of its evening
  Threads threads;
};

// Without a rig.toml or a site.toml there are no budgets. Errors: no logbook, no such night; files of the home folder
// that cannot be used; cancelled.
Result<Session> session_report(const SessionRequest& request, Progress& progress);

// The report in a form: "html" (a page to print), "txt" or "json". Errors (bad input): no such form.
Result<std::string> session_as(const std::string& form, const Session& session);

}  // namespace halfarc
