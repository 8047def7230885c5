#include "halfarc/app/clip_shelf.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>

#include "scratch_folder.h"

namespace halfarc {
namespace {

void touch(const std::filesystem::path& path) { std::ofstream(path) << "x"; }

TEST(ClipShelf, HoldsRecordingsOfTheFolderOnly) {
  const ScratchFolder folder;
  touch(folder / "outside.ser");
  const auto watched = folder / "watched";
  std::filesystem::create_directories(watched / "pictures");
  std::filesystem::create_directories(watched / "truth");
  std::filesystem::create_directories(watched / "empty");
  touch(watched / "pictures" / "0001.png");
  touch(watched / "truth" / "0001.fits");
  touch(watched / "mars.SER");
  touch(watched / ".hidden.ser");
  touch(watched / "notes.txt");
  std::filesystem::create_symlink(folder / "outside.ser", watched / "link.ser");
  std::filesystem::create_directory_symlink(folder.path(), watched / "up");
  std::vector<std::string> names;
  for (const ShelvedClip& clip : clips_in(watched)) names.push_back(clip.name);
  std::sort(names.begin(), names.end());
  EXPECT_EQ(names, (std::vector<std::string>{"mars.SER", "pictures"}));
  EXPECT_TRUE(clips_in(folder / "none").empty());
}

TEST(ClipShelf, IdsFindTheirClip) {
  const ScratchFolder folder;
  touch(folder / "mars.ser");
  const auto clips = clips_in(folder.path());
  ASSERT_EQ(clips.size(), 1U);
  EXPECT_EQ(find_clip(folder.path(), clips[0].id)->path, folder / "mars.ser");
  EXPECT_FALSE(find_clip(folder.path(), "../mars.ser"));
  // The published test vectors of FNV-1a, 64 bit: "" and "foobar" (from memory of [Fowler2012]).
  EXPECT_EQ(id_of_name(""), "cbf29ce484222325");
  EXPECT_EQ(id_of_name("foobar"), "85944171f73967e8");
}

TEST(ClipShelf, AKeptCheckHoldsForItsRecordingOnly) {
  const ScratchFolder folder;
  touch(folder / "mars.ser");
  const ShelvedClip clip = clips_in(folder.path()).front();
  EXPECT_FALSE(kept_check(folder.path(), clip));
  std::filesystem::create_directories(folder / "checks");
  std::ofstream((folder / "checks") / (clip.id + ".json")) << R"({"of":"another 1 2","check":{}})";
  EXPECT_FALSE(kept_check(folder.path(), clip));
  std::ofstream((folder / "checks") / (clip.id + ".json")) << "{";
  EXPECT_FALSE(kept_check(folder.path(), clip));
}

}  // namespace
}  // namespace halfarc
