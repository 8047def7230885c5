#include "halfarc/server/clip_desk.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <chrono>

#include "halfarc/app/image_shelf.h"
#include "halfarc/app/keep_watch.h"
#include "halfarc/app/owner_log.h"

namespace halfarc::server {
namespace {

constexpr Duration kOneNight = Duration::s(64'800.0);  // what is older than the newest by more belongs to another
constexpr Duration kStandsStill = Duration::s(3.0);
constexpr std::chrono::milliseconds kStopLatency{50};

// Someone waits for a document as long as this lives.
class Asked {
 public:
  explicit Asked(std::atomic<int>& count) : count_(count) { ++count_; }
  ~Asked() { --count_; }
  Asked(const Asked&) = delete;
  Asked& operator=(const Asked&) = delete;

 private:
  std::atomic<int>& count_;
};

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

// Work that ends when the desk does, or gives way to other work.
class ClipDesk::Until final : public Progress {
 public:
  explicit Until(const std::atomic<bool>& ending, const std::atomic<int>* others = nullptr)
      : ending_(ending), others_(others) {}
  void report(std::string_view, std::size_t, std::size_t) override {}
  bool stop_requested() const override { return ending_.load() || (others_ != nullptr && others_->load() > 0); }

 private:
  const std::atomic<bool>& ending_;
  const std::atomic<int>* others_;
};

ClipDesk::~ClipDesk() {
  ending_ = true;
  if (thread_.joinable()) thread_.join();
  if (late_thread_.joinable()) late_thread_.join();
}

void ClipDesk::watch() {
  thread_ = std::thread([this] {
    const Until until(ending_);
    const WatchHandlers handlers{[this](const std::filesystem::path& path) { arrived(path); }, {}};
    // The folder was made or seen before; one that goes away later is waited for.
    [[maybe_unused]] const auto ended = keep_watch(served_.watched, handlers, until);
  });
  late_thread_ = std::thread([this] { catch_up(); });
}

void ClipDesk::arrived(const std::filesystem::path& path) {
  const auto clip = clip_at(path);
  if (!clip) return;
  served_.events.publish("clip", text_of({{"id", clip->id}, {"name", clip->name}}));
  tell(*clip, document(*clip));
}

void ClipDesk::catch_up() {
  const std::vector<ShelvedClip> clips = clips_in(served_.watched);
  for (const ShelvedClip& clip : clips) {
    if (clips.front().written - clip.written > kOneNight) return;
    // One that still grows has other content soon, and is then the watch's.
    while (Utc::now() - clip.written < kStandsStill && !ending_) std::this_thread::sleep_for(kStopLatency);
    const auto now = clip_at(clip.path);
    if (!now || now->written != clip.written || now->bytes != clip.bytes) continue;
    while (!ending_ && !read_late(clip)) std::this_thread::sleep_for(kStopLatency);
    if (ending_) return;
  }
}

// Whether it is done with: not when others wait, to whom it gives way. A clip that cannot be read is no news here; its
// own page says why.
bool ClipDesk::read_late(const ShelvedClip& clip) {
  Until until(ending_, &asked_);
  if (until.stop_requested()) return false;
  const std::lock_guard lock(checking_);
  if (kept_check(served_.home, clip)) return true;
  const auto checked = check_and_keep(served_.home, clip, served_.threads, until);
  if (checked) tell(clip, checked->document);
  return checked || !until.stop_requested();
}

void ClipDesk::tell(const ShelvedClip& clip, const Result<std::string>& document) {
  nlohmann::json told{{"id", clip.id}, {"name", clip.name}};
  if (document) {
    told = {{"recording", nlohmann::json::parse(recording_json({clip, *document, {}}))},
            {"advice", nlohmann::json::parse(advice_json(*document))}};
  } else {
    const Error& error = document.error();
    told["error"] = {{"what", error.what}, {"where", clip.name}, {"to_do", error.to_do}};
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
  const Asked asked(asked_);
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
