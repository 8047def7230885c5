// Init: the first files of the home folder, with comments that say what to edit. The use case behind `halfarc init`.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "halfarc/app/home.h"
#include "halfarc/base/result.h"
#include "halfarc/optics/telescope.h"

namespace halfarc {

struct InitRequest {
  std::filesystem::path home;
  NamedSite site = example_site();
  TelescopeKind telescope = TelescopeKind::schmidt_cassegrain;
  bool force = false;  // overwrite
};

// The request in words: the kind as `halfarc init --telescope` takes it, a place as "57.1N,2.1W,12" or empty for that
// of the examples, and what its owner calls it. Errors (bad input): words that cannot be read.
Result<InitRequest> init_asked(const std::filesystem::path& home, const std::string& telescope, const std::string& site,
                               const std::string& name);

// The two files, as init writes them. parse_site_file reads the first back to the same site.
std::string site_file(const NamedSite& site);
std::string rig_file(TelescopeKind kind = TelescopeKind::schmidt_cassegrain);

// Makes the folder where needed and writes site.toml and rig.toml, each whole or not at all; what was written.
// Errors: one of them is there and `force` is not set (bad input; nothing is written); no home folder is known (bad
// input); the folder cannot be made or written (failed).
Result<std::vector<std::filesystem::path>> init_home(const InitRequest& request);

}  // namespace halfarc
