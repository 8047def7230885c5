#include "halfarc/app/home.h"

#include <fstream>
#include <iterator>

#include "halfarc/base/toml_section.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

constexpr const char* kSiteFile = "site.toml";
constexpr const char* kSiteExample = "write lines like latitude_deg = 57.1, or begin anew with halfarc init --force";

// Reads `file` of the home folder, when there is one, with `parse(text, where)`.
template <class T, class Parse>
Result<std::optional<T>> read_from(const fs::path& home, const char* file, Parse parse) {
  HALFARC_TRY(const auto text, text_of_home_file(home, file));
  if (!text) return std::optional<T>();
  HALFARC_TRY(T value, parse(*text, (home / file).string()));
  return std::optional<T>(std::move(value));
}

}  // namespace

fs::path home_folder(const HomeEnvironment& environment) {
  if (!environment.halfarc_home.empty()) return environment.halfarc_home;
  const fs::path data(environment.xdg_data_home);
  if (data.is_absolute()) return data / "halfarc";
  if (!environment.home.empty()) return fs::path(environment.home) / ".local" / "share" / "halfarc";
  return {};
}

NamedSite example_site() { return {"Kelderhaven", {Angle::deg(57.1), Angle::deg(-2.1), Length::m(12.0)}}; }

Result<NamedSite> parse_site_file(std::string_view text, const std::string& where) {
  HALFARC_TRY(const TomlFile file, TomlFile::parse(text, where, kSiteExample));
  TomlSection top = file.top();
  NamedSite named;
  double latitude = 0.0, longitude = 0.0, height = 0.0;
  top.text("name", named.name);
  for (const std::string_view key : {"latitude_deg", "longitude_deg"}) top.require(key);
  top.number_within("latitude_deg", -90.0, 90.0, latitude);
  top.number_within("longitude_deg", -180.0, 360.0, longitude);
  top.number_within("height_m", -500.0, 9000.0, height);
  top.done();
  HALFARC_CHECK(file.verdict());
  named.site = {Angle::deg(latitude), wrap_signed(Angle::deg(longitude)), Length::m(height)};
  return named;
}

Result<std::optional<std::string>> text_of_home_file(const fs::path& home, const std::string& file) {
  if (home.empty()) return std::optional<std::string>();
  const fs::path path = home / file;
  const Error unreadable = bad_input("cannot be read", path.string(), "mend the file or move it away");
  std::error_code problem;
  const fs::file_status status = fs::status(path, problem);
  if (status.type() == fs::file_type::not_found) return std::optional<std::string>();
  if (status.type() != fs::file_type::regular) return unreadable;
  std::ifstream in(path, std::ios::binary);
  if (!in) return unreadable;
  std::string text{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
  if (in.bad()) return unreadable;
  return std::optional<std::string>(std::move(text));
}

Result<std::optional<NamedSite>> site_of_home(const fs::path& home) {
  return read_from<NamedSite>(home, kSiteFile, parse_site_file);
}

Result<std::optional<sky::Horizon>> horizon_of_home(const fs::path& home) {
  return read_from<sky::Horizon>(home, "horizon.csv", sky::Horizon::parse);
}

Result<std::vector<sky::Feature>> features_of_home(const fs::path& home) {
  HALFARC_TRY(auto found, read_from<std::vector<sky::Feature>>(home, "features.csv", sky::parse_features));
  return found ? std::move(*found) : std::vector<sky::Feature>();
}

}  // namespace halfarc
