// Home: the folder in which halfarc keeps what it knows of its owner's place and telescope, and what it reads there.
//
// site.toml says where the telescope stands, horizon.csv what stands around it (sky/horizon.h), features.csv which
// spots the owner follows (sky/feature.h). Each file may be absent; a file that is there but cannot be used is an error
// that names the file and the line. The environment is read by the command line only and passed in.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "halfarc/base/result.h"
#include "halfarc/sky/feature.h"
#include "halfarc/sky/horizon.h"
#include "halfarc/sky/site.h"

namespace halfarc {

// The environment variables of the same names; empty when not set.
struct HomeEnvironment {
  std::string halfarc_home;   // HALFARC_HOME
  std::string xdg_data_home;  // XDG_DATA_HOME
  std::string home;           // HOME
};

// HALFARC_HOME; else halfarc in XDG_DATA_HOME, or in .local/share of HOME. Empty when nothing says where.
// Source: XDG Base Directory Specification: a data home that is not absolute is passed over.
std::filesystem::path home_folder(const HomeEnvironment& environment);

// A place and what its owner calls it.
struct NamedSite {
  std::string name;  // may be empty
  sky::Site site;
};

// Kelderhaven, the invented harbour town of all examples.
NamedSite example_site();

// The text of a site.toml: latitude_deg and longitude_deg (east positive), height_m (else 0) and name.
// Errors: not TOML; a key that is missing, misspelt or out of range. `where` names the file.
Result<NamedSite> parse_site_file(std::string_view text, const std::string& where);

// The whole of a file of the home folder, or nothing when it, or the folder, is not there.
// Errors: a file that cannot be read (bad input).
Result<std::optional<std::string>> text_of_home_file(const std::filesystem::path& home, const std::string& file);

// What the files of the home folder say; nothing (no features) when the file, or the folder, is not there.
// Errors: a file that cannot be read or used (bad input).
Result<std::optional<NamedSite>> site_of_home(const std::filesystem::path& home);
Result<std::optional<sky::Horizon>> horizon_of_home(const std::filesystem::path& home);
Result<std::vector<sky::Feature>> features_of_home(const std::filesystem::path& home);

}  // namespace halfarc
