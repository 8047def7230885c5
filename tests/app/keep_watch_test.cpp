#include "halfarc/app/keep_watch.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <atomic>
#include <chrono>
#include <fstream>
#include <mutex>
#include <thread>
#include <vector>

#include "halfarc/app/folder_changes.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using namespace std::chrono_literals;

struct StopFlag final : Progress {
  void report(std::string_view, std::size_t, std::size_t) override {}
  bool stop_requested() const override { return stop; }
  std::atomic<bool> stop = false;
};

// A watch in a thread of its own, and what it has told so far.
class Watched {
 public:
  explicit Watched(const std::filesystem::path& folder) {
    handlers_.ready = [this](const std::filesystem::path& path) { add(ready_, path.filename().string()); };
    handlers_.said = [this](const std::string& text) { add(said_, text); };
    thread_ = std::thread([this, folder] { EXPECT_TRUE(keep_watch(folder, handlers_, flag_).has_value()); });
    std::this_thread::sleep_for(100ms);
  }
  ~Watched() {
    flag_.stop = true;
    thread_.join();
  }
  // What was ready, as soon as it is so many; after four seconds whatever there is.
  std::vector<std::string> ready(std::size_t count) { return until(ready_, count); }
  std::vector<std::string> said(std::size_t count) { return until(said_, count); }

 private:
  void add(std::vector<std::string>& to, std::string text) {
    const std::lock_guard lock(mutex_);
    to.push_back(std::move(text));
  }
  std::vector<std::string> until(const std::vector<std::string>& list, std::size_t count) {
    for (int i = 0; i < 800; ++i) {
      {
        const std::lock_guard lock(mutex_);
        if (list.size() >= count) return list;
      }
      std::this_thread::sleep_for(5ms);
    }
    return list;
  }

  StopFlag flag_;
  WatchHandlers handlers_;
  std::mutex mutex_;
  std::vector<std::string> ready_, said_;
  std::thread thread_;
};

void write(const std::filesystem::path& path) { std::ofstream(path) << "frames"; }

TEST(FolderChanges, TellsOfWritingClosingAndArriving) {
  const ScratchFolder folder, other;
  FolderChanges changes(folder.path());
  ASSERT_TRUE(changes.is_told());
  EXPECT_TRUE(changes.wait(Duration()).empty());
  {
    std::ofstream out(folder / "a.ser");
    out << "frames" << std::flush;
    const auto told = changes.wait(Duration::s(1.0));
    ASSERT_EQ(told.size(), 1U);
    EXPECT_EQ(told[0].what, FolderChange::What::written);
    EXPECT_EQ(told[0].name, "a.ser");
  }
  EXPECT_EQ(changes.wait(Duration::s(1.0)).at(0).what, FolderChange::What::closed);
  write(other / "b.ser");
  std::filesystem::rename(other / "b.ser", folder / "b.ser");
  EXPECT_EQ(changes.wait(Duration::s(1.0)).at(0).name, "b.ser");
  EXPECT_FALSE(FolderChanges(folder / "absent").is_told());
}

TEST(KeepWatch, HandsOnWhatIsClosedWithinHalfASecond) {
  const ScratchFolder folder;
  write(folder / "old.ser");
  Watched watched(folder.path());
  std::ofstream growing(folder / "a.ser");
  growing << "frames" << std::flush;
  write(folder / "notes.txt");
  write(folder / ".b.ser.part");
  std::this_thread::sleep_for(600ms);
  EXPECT_TRUE(watched.ready(0).empty());
  growing << "more" << std::flush;
  growing.close();
  const auto closed = std::chrono::steady_clock::now();
  EXPECT_THAT(watched.ready(1), ElementsAre("a.ser"));
  EXPECT_LT(std::chrono::steady_clock::now() - closed, 500ms);
}

TEST(KeepWatch, SurvivesRenamesAndFilesThatVanish) {
  const ScratchFolder folder;
  Watched watched(folder.path());
  write(folder / "gone.ser");
  std::filesystem::remove(folder / "gone.ser");
  write(folder / "a.part");
  std::filesystem::rename(folder / "a.part", folder / "a.ser");
  EXPECT_THAT(watched.ready(1), ElementsAre("a.ser"));
  std::filesystem::rename(folder / "a.ser", folder / "b.ser");
  write(folder / "c.fits");
  EXPECT_THAT(watched.ready(2), ElementsAre("a.ser", "c.fits"));
}

TEST(KeepWatch, WaitsForAFolderThatWentAway) {
  const ScratchFolder parent;
  const auto folder = parent / "captures";
  std::filesystem::create_directory(folder);
  write(folder / "old.ser");
  Watched watched(folder);
  std::filesystem::rename(folder, parent / "elsewhere");
  EXPECT_THAT(watched.said(2).back(), HasSubstr("is gone"));
  std::filesystem::rename(parent / "elsewhere", folder);
  EXPECT_THAT(watched.said(3).back(), HasSubstr("is back"));
  write(folder / "new.ser");
  EXPECT_THAT(watched.ready(1), ElementsAre("new.ser"));
}

TEST(KeepWatch, NeedsAFolder) {
  const ScratchFolder folder;
  StopFlag flag;
  const auto watched = keep_watch(folder / "absent", {}, flag);
  ASSERT_FALSE(watched.has_value());
  EXPECT_THAT(watched.error().line(), HasSubstr("is no folder"));
}

}  // namespace
}  // namespace halfarc
