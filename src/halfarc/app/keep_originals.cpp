#include "halfarc/app/keep_originals.h"

#include <string>
#include <system_error>

namespace halfarc {
namespace {

namespace fs = std::filesystem;

fs::path folder_of(const fs::path& path) { return path.has_parent_path() ? path.parent_path() : fs::path("."); }

bool same_place(const fs::path& a, const fs::path& b) {
  std::error_code not_there;
  return fs::equivalent(a, b, not_there);
}

bool is_there(const fs::path& path) {
  std::error_code ignored;
  return fs::exists(path, ignored);
}

// "frame_001.png" and "frame_102.png": names of one numbered sequence.
bool differ_in_digits_only(const fs::path& a, const fs::path& b) {
  const auto without_digits = [](const fs::path& path) {
    std::string name = path.filename().string();
    std::erase_if(name, [](char c) { return c >= '0' && c <= '9'; });
    return name;
  };
  return without_digits(a) == without_digits(b);
}

Error endangered(const fs::path& output, std::string what) {
  return {ErrorKind::usage, std::move(what), output.string(), "choose another name or folder with -o"};
}

Result<void> keep(const fs::path& recording, const fs::path& output) {
  std::error_code ignored;
  if (same_place(recording, output)) return endangered(output, "would replace the recording it is made from");
  if (fs::is_directory(recording, ignored)) {
    if (same_place(recording, folder_of(output)))
      return endangered(output, "would lie among the frames it is made from");
    return {};
  }
  if (differ_in_digits_only(recording, output) && is_there(output) &&
      same_place(folder_of(recording), folder_of(output))) {
    return endangered(output, "is there already and may be one of the frames or another recording");
  }
  return {};
}

}  // namespace

Result<void> keep_originals(std::span<const fs::path> recordings, std::span<const fs::path> outputs) {
  for (const fs::path& output : outputs) {
    for (const fs::path& recording : recordings) HALFARC_CHECK(keep(recording, output));
  }
  return {};
}

}  // namespace halfarc
