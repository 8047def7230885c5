#include "halfarc/app/owner_file.h"

#include <algorithm>

#include "halfarc/app/home.h"
#include "halfarc/app/init_home.h"
#include "halfarc/app/rig_file.h"
#include "halfarc/base/atomic_file.h"

namespace halfarc {
namespace {

// "20261125T210407Z": a time as part of a file's name.
std::string time_in_name(Utc now) {
  std::string text = now.iso(0);
  std::erase_if(text, [](char c) { return c == '-' || c == ':'; });
  return text;
}

}  // namespace

std::string_view file_name(OwnerFile file) {
  switch (file) {
    case OwnerFile::site:
      return "site.toml";
    case OwnerFile::rig:
      return "rig.toml";
    case OwnerFile::horizon:
      break;
  }
  return "horizon.csv";
}

Result<OwnerText> read_owner_file(const std::filesystem::path& home, OwnerFile file) {
  HALFARC_TRY(auto text, text_of_home_file(home, std::string(file_name(file))));
  if (text) return OwnerText{std::move(*text), true};
  if (file == OwnerFile::site) return OwnerText{site_file(example_site()), false};
  if (file == OwnerFile::rig) return OwnerText{rig_file(), false};
  return OwnerText{};
}

Result<void> check_owner_text(OwnerFile file, std::string_view text) {
  const std::string where(file_name(file));
  if (file == OwnerFile::site) {
    HALFARC_TRY([[maybe_unused]] const NamedSite site, parse_site_file(text, where));
  } else if (file == OwnerFile::rig) {
    HALFARC_TRY([[maybe_unused]] const Rig rig, parse_rig_file(text, where));
  } else {
    HALFARC_TRY([[maybe_unused]] const sky::Horizon horizon, sky::Horizon::parse(text, where));
  }
  return {};
}

Result<void> replace_owner_file(const std::filesystem::path& home, OwnerFile file, std::string_view text, Utc now) {
  HALFARC_CHECK(check_owner_text(file, text));
  HALFARC_TRY(const OwnerText before, read_owner_file(home, file));
  if (before.exists && before.text == text) return {};
  std::error_code problem;
  std::filesystem::create_directories(home, problem);
  if (problem) return failed("the folder cannot be made: " + problem.message(), home.string(), "set HALFARC_HOME");
  const std::string name(file_name(file));
  if (before.exists) HALFARC_CHECK(write_file(home / (name + "." + time_in_name(now)), before.text));
  return write_file(home / name, text);
}

}  // namespace halfarc
