// What `check` and `watch` ask of a clip alike: what it shows, its scale, and the owner's rig.
#pragma once

#include <CLI/CLI.hpp>

#include <string>

#include "halfarc/app/check_clip.h"
#include "halfarc/base/parallel.h"

namespace halfarc::cli {

struct ClipWords {
  std::string kind;    // --as
  double scale = 0.0;  // --scale
  std::string target;  // --target, and when and where from
  std::string at;
  std::string site;
  bool mirrored = false;
  std::string key;  // --key
  bool stopped = false;
};

void add_clip_options(CLI::App& command, ClipWords& words);

// Errors: those of rig_of_owner.
Result<CheckOptions> clip_options(const ClipWords& words, Threads threads);

}  // namespace halfarc::cli
