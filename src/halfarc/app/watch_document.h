// What `watch --json` prints: one line a happening, each a document halfarc.watch/1 (docs/contracts).
#pragma once

#include <filesystem>
#include <string>

#include "halfarc/app/check_clip.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"

namespace halfarc {

// {schema, utc, path, check}: `check` is the document of the command check.
std::string watch_check_json(const ClipCheck& check, Utc utc);

// {schema, utc, path, error: {what, where, to_do}}
std::string watch_error_json(const std::filesystem::path& path, const Error& error, Utc utc);

// {schema, utc, said}
std::string watch_said_json(const std::string& said, Utc utc);

}  // namespace halfarc
