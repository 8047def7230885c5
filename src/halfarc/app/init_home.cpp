#include "halfarc/app/init_home.h"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <array>
#include <sstream>

#include "halfarc/app/rig_file.h"
#include "halfarc/base/atomic_file.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

// Text in quotes, by the packaged library, which knows what must be escaped.
std::string quoted(const std::string& text) {
  std::ostringstream out;
  out << toml::value<std::string>(text);
  return out.str();
}

}  // namespace

std::string site_file(const NamedSite& site) {
  return fmt::format(
      "# Where the telescope stands. Edit the figures; halfarc where and halfarc plan use them.\n"
      "# horizon.csv beside this file may hold the roofs and trees around it, a line a point:\n"
      "#     azimuth in degrees from north through east,altitude in degrees,open or roof or tree or hill,warm yes or "
      "no\n"
      "# cooling.csv may hold temperatures that you read, from which the mirror's time constant follows:\n"
      "#     time UTC,mirror in degC,air in degC\n"
      "# features.csv may hold the spots that you follow:\n"
      "#     name,body,longitude_deg,system,drift_deg_per_day,date of that longitude\n"
      "\n"
      "name = {}\n"
      "latitude_deg = {:.6f}    # north positive\n"
      "longitude_deg = {:.6f}   # east positive, so west is negative\n"
      "height_m = {:.1f}        # above the sea\n",
      quoted(site.name), site.site.latitude.deg(), site.site.longitude.deg(), site.site.height.m());
}

std::string rig_file() { return std::string(example_rig_text()); }

Result<std::vector<fs::path>> init_home(const InitRequest& request) {
  if (request.home.empty()) {
    return bad_input("nothing says where halfarc may keep its files", {}, "set HALFARC_HOME to a folder");
  }
  const std::array<fs::path, 2> paths = {request.home / "site.toml", request.home / "rig.toml"};
  const std::array<std::string, 2> texts = {site_file(request.site), rig_file()};
  std::error_code problem;
  for (const fs::path& path : paths) {
    if (!request.force && fs::symlink_status(path, problem).type() != fs::file_type::not_found) {
      return bad_input("is there already, and nothing was written", path.string(),
                       "edit it, or overwrite it with --force");
    }
  }
  fs::create_directories(request.home, problem);
  if (problem) {
    return failed("the folder cannot be made: " + problem.message(), request.home.string(),
                  "set HALFARC_HOME to a folder that you may write to");
  }
  for (std::size_t i = 0; i < paths.size(); ++i) HALFARC_CHECK(write_file(paths[i], texts[i]));
  return std::vector<fs::path>(paths.begin(), paths.end());
}

}  // namespace halfarc
