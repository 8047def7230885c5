#include "halfarc/app/init_home.h"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <array>
#include <sstream>
#include <string_view>

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

// What differs from the Schmidt-Cassegrain of the examples (typical of each kind, from memory).
struct KindText {
  TelescopeKind kind;
  std::string_view name;
  std::string_view telescope;
  std::string_view travel;
  std::string_view visual_back;
};

constexpr std::array<KindText, 3> kKinds = {{
    {TelescopeKind::maksutov, "150 mm f/12 Maksutov",
     R"([telescope]
kind = "maksutov"        # "sct" (Schmidt-Cassegrain), "maksutov", "newtonian" or "refractor"
aperture_mm = 150.0      # clear diameter of the front opening
obstruction = 0.33       # diameter of the shadow in the middle over the aperture
focal_ratio = 12.0       # focal length over aperture at the back focus below
back_focus_mm = 127.0    # from the rear port to the focus, as it was designed
primary_ratio = 2.6      # focal ratio of the main mirror alone
# secondary_mm = 40.0    # clear diameter of the small mirror
)",
     "travel_um_per_turn = 750.0  # of the mirror", "length_mm = 75.7"},
    {TelescopeKind::newtonian, "250 mm f/5 Newtonian",
     R"([telescope]
kind = "newtonian"       # "sct" (Schmidt-Cassegrain), "maksutov", "newtonian" or "refractor"
aperture_mm = 250.0      # clear diameter of the front opening
obstruction = 0.25       # diameter of the shadow in the middle over the aperture
focal_ratio = 5.0        # focal length over aperture
back_focus_mm = 90.0     # from the end of the focuser, racked in, to the focus
)",
     "travel_um_per_turn = 20000.0  # of the drawtube", "length_mm = 20.0"},
    {TelescopeKind::refractor, "120 mm f/7 refractor",
     R"([telescope]
kind = "refractor"       # "sct" (Schmidt-Cassegrain), "maksutov", "newtonian" or "refractor"
aperture_mm = 120.0      # clear diameter of the objective
obstruction = 0.0        # none
focal_ratio = 7.0        # focal length over aperture
back_focus_mm = 150.0    # from the end of the focuser, racked in, to the focus
)",
     "travel_um_per_turn = 20000.0  # of the drawtube", "length_mm = 40.0"},
}};

const KindText* text_of_kind(TelescopeKind kind) {
  const auto at = std::find_if(kKinds.begin(), kKinds.end(), [kind](const KindText& k) { return k.kind == kind; });
  return at == kKinds.end() ? nullptr : &*at;
}

Result<TelescopeKind> kind_named(const std::string& word) {
  if (word == "sct") return TelescopeKind::schmidt_cassegrain;
  if (word == "maksutov") return TelescopeKind::maksutov;
  if (word == "newtonian") return TelescopeKind::newtonian;
  if (word == "refractor") return TelescopeKind::refractor;
  return bad_input("there is no such kind of telescope", word, "say sct, maksutov, newtonian or refractor");
}

}  // namespace

Result<InitRequest> init_asked(const fs::path& home, const std::string& telescope, const std::string& site,
                               const std::string& name) {
  InitRequest request;
  request.home = home;
  HALFARC_TRY(request.telescope, kind_named(telescope));
  if (!site.empty()) {
    HALFARC_TRY(request.site.site, sky::parse_site(site));
    request.site.name.clear();
  }
  if (!name.empty()) request.site.name = name;
  return request;
}

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

std::string rig_file(TelescopeKind kind) {
  std::string text(example_rig_text());
  const auto replace = [&text](std::string_view begin, std::string_view end, std::string_view with) {
    const std::size_t from = text.find(begin), to = text.find(end, from);
    if (from != std::string::npos && to != std::string::npos) text.replace(from, to - from, with);
  };
  const KindText* own = text_of_kind(kind);
  if (own == nullptr) return text;
  replace("name = \"203 mm", "\n", fmt::format("name = \"{} with a 2.0x amplifier\"", own->name));
  replace("[telescope]", "\n[knob]", own->telescope);
  replace("travel_um_per_turn", "\n", own->travel);
  replace("length_mm = 75.7", "\n", own->visual_back);
  return text;
}

Result<std::vector<fs::path>> init_home(const InitRequest& request) {
  if (request.home.empty()) {
    return bad_input("nothing says where halfarc may keep its files", {}, "set HALFARC_HOME to a folder");
  }
  const std::array<fs::path, 2> paths = {request.home / "site.toml", request.home / "rig.toml"};
  const std::array<std::string, 2> texts = {site_file(request.site), rig_file(request.telescope)};
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
