#include "halfarc/app/clip_shelf.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <cctype>
#include <initializer_list>
#include <tuple>

#include "halfarc/app/check_document.h"
#include "halfarc/app/clip_advice.h"
#include "halfarc/app/here.h"
#include "halfarc/app/home.h"
#include "halfarc/app/keep_log.h"
#include "halfarc/app/learned.h"
#include "halfarc/app/logged_adviser.h"
#include "halfarc/app/rig_optics.h"
#include "halfarc/base/atomic_file.h"
#include "halfarc/base/file_status.h"
#include "halfarc/sky/body.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

bool ends_in(const fs::path& path, std::initializer_list<std::string_view> endings) {
  std::string ending = path.extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return std::find(endings.begin(), endings.end(), ending) != endings.end();
}

bool holds_pictures(const fs::path& folder) {
  std::error_code problem;
  for (fs::directory_iterator at(folder, problem), end; !problem && at != end; at.increment(problem)) {
    if (ends_in(at->path(), {".png", ".tif", ".tiff", ".fits", ".fit", ".fts"})) return true;
  }
  return false;
}

bool is_clip(const fs::path& path, FileKind kind) {
  if (path.filename().string().starts_with('.')) return false;
  if (kind == FileKind::file) return ends_in(path, {".ser", ".fits", ".fit", ".fts", ".avi", ".mov", ".mp4", ".mkv"});
  return kind == FileKind::folder && path.filename() != "truth" && holds_pictures(path);
}

fs::path kept_file(const fs::path& home, const ShelvedClip& clip) { return home / "checks" / (clip.id + ".json"); }

// What must be the same for a kept document to hold.
std::string identity(const ShelvedClip& clip) {
  return fmt::format("{} {} {}", clip.name, clip.bytes, clip.written.unix_ns());
}

// As the command line asks, with nothing typed.
Result<CheckOptions> options_for(const fs::path& home, const std::optional<SolvedRig>& owned, Threads threads) {
  CheckOptions how;
  how.threads = threads;
  HALFARC_TRY(const auto site, site_of_home(home));
  if (site) how.geometry.site = site->site;
  if (!owned) return how;
  how.optics = clip_optics(owned->rig, owned->train);
  const ScaleOfRig scale = scale_of_rig(owned->rig, owned->train, home);
  how.optics->scale = scale.scale;
  how.scale = scale.scale;
  how.scale_source = scale.source;
  how.geometry.rig = owned->rig;
  how.geometry.train = owned->train;
  how.advise = logged_adviser(home, owned->rig, owned->train);
  return how;
}

std::vector<Reading> for_log(const ClipCheck& check, const std::optional<SolvedRig>& owned) {
  return owned ? advice_readings(check, owned->rig) : std::vector<Reading>();
}

Result<void> keep(const fs::path& home, const std::optional<SolvedRig>& owned, const ShelvedClip& clip,
                  const ClipCheck& check, const std::string& document) {
  std::error_code problem;
  fs::create_directories(home / "checks", problem);
  const nlohmann::json kept{{"of", identity(clip)}, {"check", nlohmann::json::parse(document)}};
  HALFARC_CHECK(write_file(kept_file(home, clip), kept.dump()));
  HALFARC_TRY(OwnerLog log, open_owner_log(home));
  HALFARC_CHECK(keep_check(log, check, Utc::now(), for_log(check, owned)));
  return owned && check.mid() ? learn_tonight(log, owned->rig, owned->train, *check.mid()) : Result<void>();
}

}  // namespace

std::string id_of_name(std::string_view name) {
  std::uint64_t hash = 14695981039346656037ULL;
  for (const char c : name) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
  return fmt::format("{:016x}", hash);
}

std::optional<ShelvedClip> clip_at(const fs::path& path) {
  const auto status = file_status(path, Links::told);
  if (!status || !is_clip(path, status->kind)) return std::nullopt;
  const std::string name = path.filename().string();
  return ShelvedClip{id_of_name(name), path, name, status->bytes, status->written};
}

std::vector<ShelvedClip> clips_in(const fs::path& folder) {
  std::vector<ShelvedClip> clips;
  std::error_code problem;
  for (fs::directory_iterator at(folder, problem), end; !problem && at != end; at.increment(problem)) {
    if (auto clip = clip_at(at->path())) clips.push_back(std::move(*clip));
  }
  std::sort(clips.begin(), clips.end(), [](const ShelvedClip& a, const ShelvedClip& b) {
    return std::tie(b.written, b.name) < std::tie(a.written, a.name);
  });
  return clips;
}

std::optional<ShelvedClip> find_clip(const fs::path& folder, const std::string& id) {
  for (ShelvedClip& clip : clips_in(folder)) {
    if (clip.id == id) return std::move(clip);
  }
  return std::nullopt;
}

std::optional<std::string> kept_check(const fs::path& home, const ShelvedClip& clip) {
  const auto text = text_of_home_file(home / "checks", clip.id + ".json");
  if (!text || !*text) return std::nullopt;
  const auto kept = nlohmann::json::parse(**text, nullptr, false);
  if (!kept.is_object() || !kept.contains("check") || kept.value("of", std::string()) != identity(clip))
    return std::nullopt;
  return kept["check"].dump();
}

Result<CheckedClip> check_and_keep(const fs::path& home, const ShelvedClip& clip, Threads threads, Progress& progress) {
  HALFARC_TRY(const auto owned, solved_rig_of_home(home));
  HALFARC_TRY(const CheckOptions how, options_for(home, owned, threads));
  HALFARC_TRY(const ClipCheck check, check_clip(clip.path, how, progress));
  CheckedClip checked{check_json({&check, 1}), {}};
  const auto kept = keep(home, owned, clip, check, checked.document);
  if (!kept) checked.trouble = kept.error().line();
  return checked;
}

}  // namespace halfarc
