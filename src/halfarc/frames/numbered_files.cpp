#include "halfarc/frames/numbered_files.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <compare>
#include <cstdint>
#include <map>
#include <optional>
#include <string_view>
#include <utility>

namespace halfarc {
namespace {

namespace fs = std::filesystem;

// A file name cut at its last number: "moon_0012.png" is "moon_", 12, ".png".
struct Name {
  std::string before;
  std::string after;
  std::optional<std::uint64_t> number;
};

bool is_digit(char c) { return std::isdigit(static_cast<unsigned char>(c)) != 0; }

Name cut(const fs::path& path) {
  const std::string stem = path.stem().string();
  const std::string extension = path.extension().string();
  std::size_t end = stem.size();
  while (end > 0 && !is_digit(stem[end - 1])) --end;
  std::size_t begin = end;
  while (begin > 0 && is_digit(stem[begin - 1])) --begin;
  std::uint64_t number = 0;
  const auto parsed = std::from_chars(stem.data() + begin, stem.data() + end, number);
  if (begin == end || parsed.ec != std::errc{}) return {stem, extension, std::nullopt};
  return {stem.substr(0, begin), stem.substr(end) + extension, number};
}

bool is_frame_file(const fs::path& path) {
  constexpr std::array<std::string_view, 6> kExtensions = {".fits", ".fit", ".fts", ".png", ".tif", ".tiff"};
  std::string extension = path.extension().string();
  for (char& c : extension) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  const bool hidden = path.filename().string().front() == '.';
  return !hidden && std::find(kExtensions.begin(), kExtensions.end(), extension) != kExtensions.end();
}

using Numbered = std::pair<std::uint64_t, fs::path>;
// What surrounds the number, and whether there is one.
struct Surroundings {
  std::string before;
  std::string after;
  bool has_number;

  friend auto operator<=>(const Surroundings&, const Surroundings&) = default;
};
using Groups = std::map<Surroundings, std::vector<Numbered>>;

// All files of the folder that could be frames, by what surrounds their number.
Result<Groups> groups_in(const fs::path& folder) {
  Groups groups;
  std::error_code error;
  fs::directory_iterator entry(folder, error);
  for (; !error && entry != fs::directory_iterator{}; entry.increment(error)) {
    std::error_code ignored;
    if (!is_frame_file(entry->path()) || !entry->is_regular_file(ignored)) continue;
    const Name name = cut(entry->path());
    groups[{name.before, name.after, name.number.has_value()}].emplace_back(name.number.value_or(0), entry->path());
  }
  if (error) return bad_input("cannot be listed: " + error.message(), folder.string(), "check the folder");
  return groups;
}

NumberedFiles in_order(std::vector<Numbered> numbered) {
  std::sort(numbered.begin(), numbered.end());
  NumberedFiles sequence;
  std::uint64_t missing = 0;
  std::uint64_t first_missing = 0;
  for (std::size_t i = 0; i < numbered.size(); ++i) {
    sequence.files.push_back(numbered[i].second);
    if (i == 0 || numbered[i].first <= numbered[i - 1].first + 1) continue;
    if (missing == 0) first_missing = numbered[i - 1].first + 1;
    missing += numbered[i].first - numbered[i - 1].first - 1;
  }
  if (missing > 0) {
    sequence.notes.push_back(fmt::format("{} numbers are missing from the sequence, first {}", missing, first_missing));
  }
  return sequence;
}

std::string pattern(const Groups::value_type& group) {
  return group.first.before + (group.first.has_number ? "#" : "") + group.first.after;
}

}  // namespace

Result<NumberedFiles> numbered_siblings(const fs::path& file) {
  const Name wanted = cut(file);
  if (!wanted.number) return NumberedFiles{{file}, {}};
  const fs::path folder = file.has_parent_path() ? file.parent_path() : fs::path(".");
  HALFARC_TRY(Groups groups, groups_in(folder));
  const auto found = groups.find({wanted.before, wanted.after, true});
  // A file of a kind that is not known by its extension stands alone.
  if (found == groups.end()) return NumberedFiles{{file}, {}};
  return in_order(std::move(found->second));
}

Result<NumberedFiles> numbered_in_folder(const fs::path& folder) {
  HALFARC_TRY(Groups groups, groups_in(folder));
  if (groups.empty()) {
    return bad_input("is a folder without numbered pictures or FITS files", folder.string(), "name a recording");
  }
  std::vector<Groups::value_type*> sequences;
  for (auto& group : groups) {
    if (group.second.size() > 1) sequences.push_back(&group);
  }
  if (sequences.empty() && groups.size() == 1) sequences.push_back(&*groups.begin());
  if (sequences.size() != 1) {
    const auto& first = sequences.empty() ? *groups.begin() : *sequences.front();
    const auto& second = sequences.empty() ? *std::next(groups.begin()) : *sequences.back();
    return bad_input(fmt::format("holds several sequences ({}, {})", pattern(first), pattern(second)), folder.string(),
                     "name one file of the sequence you mean");
  }
  NumberedFiles sequence = in_order(std::move(sequences.front()->second));
  if (groups.size() > 1) {
    sequence.notes.push_back(
        fmt::format("{} other pictures in the folder are not part of the sequence", groups.size() - 1));
  }
  return sequence;
}

}  // namespace halfarc
