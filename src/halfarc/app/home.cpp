#include "halfarc/app/home.h"

#include <toml++/toml.h>

#include <fstream>
#include <iterator>

namespace halfarc {
namespace {

namespace fs = std::filesystem;

constexpr const char* kSiteFile = "site.toml";
constexpr const char* kSiteExample = "write lines like latitude_deg = 57.1, or begin anew with halfarc init --force";

// The whole of a file of the home folder, or nothing when it is not there.
Result<std::optional<std::string>> text_of(const fs::path& path) {
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

// Reads `file` of the home folder, when there is one, with `parse(text, where)`.
template <class T, class Parse>
Result<std::optional<T>> read_from(const fs::path& home, const char* file, Parse parse) {
  if (home.empty()) return std::optional<T>();
  HALFARC_TRY(const auto text, text_of(home / file));
  if (!text) return std::optional<T>();
  HALFARC_TRY(T value, parse(*text, (home / file).string()));
  return std::optional<T>(std::move(value));
}

std::string line_of(const std::string& where, const toml::source_region& source) {
  return where + ", line " + std::to_string(source.begin.line);
}

struct Range {
  double lowest, highest;
  const char* words;
};

Result<double> number(const toml::table& table, std::string_view key, const Range& range, std::optional<double> usual,
                      const std::string& where) {
  const toml::node* node = table.get(key);
  if (node == nullptr) {
    if (usual) return *usual;
    return bad_input("the key " + std::string(key) + " is missing", where, kSiteExample);
  }
  const auto value = node->is_number() ? node->value<double>() : std::nullopt;
  if (!value || !(*value >= range.lowest && *value <= range.highest)) {
    return bad_input(std::string(key) + " must be a number " + range.words, line_of(where, node->source()),
                     kSiteExample);
  }
  return *value;
}

Result<void> refuse_strangers(const toml::table& table, const std::string& where) {
  for (const auto& [key, node] : table) {
    const std::string_view word = key.str();
    if (word == "name" || word == "latitude_deg" || word == "longitude_deg" || word == "height_m") continue;
    return bad_input(std::string(word) + " is not a key halfarc knows", line_of(where, node.source()),
                     "the keys here are name, latitude_deg, longitude_deg, height_m");
  }
  return {};
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
  toml::table table;
  try {  // the packaged library reports by exception; it goes no further than here
    table = toml::parse(text, where);
  } catch (const toml::parse_error& error) {
    return bad_input(std::string(error.description()), line_of(where, error.source()), kSiteExample);
  }
  HALFARC_CHECK(refuse_strangers(table, where));
  HALFARC_TRY(const double latitude,
              number(table, "latitude_deg", {-90.0, 90.0, "from -90 (south) to 90 (north)"}, std::nullopt, where));
  HALFARC_TRY(const double longitude,
              number(table, "longitude_deg", {-180.0, 360.0, "from -180 (west) to 360 (east)"}, std::nullopt, where));
  HALFARC_TRY(const double height, number(table, "height_m", {-500.0, 9000.0, "from -500 to 9000"}, 0.0, where));
  NamedSite named{"", {Angle::deg(latitude), wrap_signed(Angle::deg(longitude)), Length::m(height)}};
  if (const toml::node* node = table.get("name")) {
    if (!node->is_string()) {
      return bad_input("name must be text in quotes", line_of(where, node->source()), kSiteExample);
    }
    named.name = node->value_or(std::string());
  }
  return named;
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
