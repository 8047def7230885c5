#include "halfarc/server/clip_desk.h"

#include <nlohmann/json.hpp>

#include <algorithm>

#include "halfarc/app/image_shelf.h"
#include "halfarc/app/keep_watch.h"
#include "halfarc/app/owner_log.h"

namespace halfarc::server {
namespace {

std::string text_of(const nlohmann::json& document) {
  return document.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
}

std::string date_of(const Served& served, Utc at) {
  if (const auto log = read_owner_log(served.home)) return log->date_of(at);
  return (at - Duration::s(43'200.0)).iso(0).substr(0, 10);  // noon to noon at Greenwich
}

// The moment of a clip: of its own frames where they are known.
Utc moment_of(const CheckedEntry& entry) {
  const auto check = nlohmann::json::parse(entry.document, nullptr, false);
  const std::string mid = check.is_object() ? check.value("mid_utc", std::string()) : std::string();
  return Utc::parse(mid).value_or(entry.clip.written);
}

}  // namespace

// Work that ends when the desk does.
class ClipDesk::Until final : public Progress {
 public:
  explicit Until(const std::atomic<bool>& ending) : ending_(ending) {}
  void report(std::string_view, std::size_t, std::size_t) override {}
  bool stop_requested() const override { return ending_.load(); }

 private:
  const std::atomic<bool>& ending_;
};

ClipDesk::~ClipDesk() {
  ending_ = true;
  if (thread_.joinable()) thread_.join();
}

void ClipDesk::watch() {
  thread_ = std::thread([this] {
    const Until until(ending_);
    const WatchHandlers handlers{[this](const std::filesystem::path& path) { arrived(path); }, {}};
    // The folder was made or seen before; one that goes away later is waited for.
    [[maybe_unused]] const auto ended = keep_watch(served_.watched, handlers, until);
  });
}

void ClipDesk::arrived(const std::filesystem::path& path) {
  const auto clip = clip_at(path);
  if (!clip) return;
  nlohmann::json told{{"id", clip->id}, {"name", clip->name}};
  served_.events.publish("clip", text_of(told));
  const auto checked = document(*clip);
  if (checked) {
    told = {{"recording", nlohmann::json::parse(recording_json({*clip, *checked, {}}))},
            {"advice", nlohmann::json::parse(advice_json(*checked))}};
  } else {
    const Error& error = checked.error();
    told["error"] = {{"what", error.what}, {"where", clip->name}, {"to_do", error.to_do}};
  }
  served_.events.publish("reading", text_of(told));
}

std::vector<CheckedEntry> ClipDesk::entries() const {
  std::vector<CheckedEntry> entries;
  const auto images = images_in(served_.home);
  for (ShelvedClip& clip : clips_in(served_.watched)) {
    std::string document = kept_check(served_.home, clip).value_or("");
    const std::string name = clip.path.stem().string();
    const auto made = std::find_if(images.begin(), images.end(), [&](const auto& i) { return i.name == name; });
    entries.push_back({std::move(clip), std::move(document), made == images.end() ? "" : made->id});
  }
  return entries;
}

Result<std::string> ClipDesk::document(const ShelvedClip& clip) {
  const std::lock_guard lock(checking_);
  if (auto kept = kept_check(served_.home, clip)) return std::move(*kept);
  Until until(ending_);
  HALFARC_TRY(CheckedClip checked, check_and_keep(served_.home, clip, served_.threads, until));
  return std::move(checked.document);
}

ClipDesk::Night ClipDesk::last_night() const {
  Night night;
  std::vector<std::pair<Utc, CheckedEntry>> dated;
  for (CheckedEntry& entry : entries()) {
    if (entry.document.empty()) continue;
    const Utc moment = moment_of(entry);
    dated.emplace_back(moment, std::move(entry));
  }
  night.date = date_of(served_, dated.empty() ? Utc::now() : dated.front().first);
  std::erase_if(dated, [&](const auto& one) { return date_of(served_, one.first) != night.date; });
  std::stable_sort(dated.begin(), dated.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  for (auto& [moment, entry] : dated) night.entries.push_back(std::move(entry));
  return night;
}

}  // namespace halfarc::server
