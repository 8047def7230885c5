#include "halfarc/base/growing_file.h"

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>

#include "scratch_folder.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

std::string text_of(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

TEST(GrowingFile, IsSeenWhileItGrows) {
  const ScratchFolder folder;
  const auto path = folder / "clip.fits";
  auto file = GrowingFile::create(path);
  ASSERT_TRUE(file) << file.error().line();
  EXPECT_TRUE(fs::exists(path));
  ASSERT_TRUE(file->write("half "));
  EXPECT_EQ(text_of(path), "half ");
  ASSERT_TRUE(file->write("an arc"));
  ASSERT_TRUE(file->close());
  EXPECT_EQ(text_of(path), "half an arc");
}

TEST(GrowingFile, GivenUpItIsRemoved) {
  const ScratchFolder folder;
  const auto path = folder / "clip.fits";
  {
    auto file = GrowingFile::create(path);
    ASSERT_TRUE(file);
    ASSERT_TRUE(file->write("half"));
    GrowingFile other = std::move(*file);
    EXPECT_TRUE(fs::exists(path));
  }
  EXPECT_FALSE(fs::exists(path));
}

TEST(GrowingFile, WhoReadsTheOldOneKeepsIt) {
  const ScratchFolder folder;
  const auto path = folder / "clip.fits";
  std::ofstream(path) << "old";
  std::ifstream reader(path);
  auto file = GrowingFile::create(path);
  ASSERT_TRUE(file);
  ASSERT_TRUE(file->write("new"));
  ASSERT_TRUE(file->close());
  EXPECT_EQ(std::string(std::istreambuf_iterator<char>(reader), {}), "old");
  EXPECT_EQ(text_of(path), "new");
}

TEST(GrowingFile, RefusesAFolderAndAMissingFolder) {
  const ScratchFolder folder;
  fs::create_directory(folder / "here");
  EXPECT_FALSE(GrowingFile::create(folder / "here"));
  const auto missing = GrowingFile::create(folder / "nowhere" / "clip.fits");
  ASSERT_FALSE(missing);
  EXPECT_NE(missing.error().line().find("make the folder"), std::string::npos);
}

}  // namespace
}  // namespace halfarc
