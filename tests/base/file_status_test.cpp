#include "halfarc/base/file_status.h"

#include <gtest/gtest.h>

#include <chrono>
#include <fstream>

#include "scratch_folder.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

TEST(FileStatus, AFileAndItsFolder) {
  const ScratchFolder folder;
  const fs::path path = folder / "clip.ser";
  std::ofstream(path) << "seven b";
  const auto status = file_status(path);
  ASSERT_TRUE(status);
  EXPECT_EQ(status->kind, FileKind::file);
  EXPECT_EQ(status->bytes, 7U);
  EXPECT_EQ(file_status(path.parent_path())->kind, FileKind::folder);
  EXPECT_FALSE(file_status(folder / "gone.ser"));
}

// The standard library's own account of the same moment.
TEST(FileStatus, WhenItWasWritten) {
  const ScratchFolder folder;
  const fs::path path = folder / "clip.ser";
  std::ofstream(path) << "a";
  const Utc day = Utc::civil(2026, 11, 25, 0, 0, 0.0).value();
  const std::chrono::sys_time since_1970{std::chrono::nanoseconds(day.unix_ns()) + std::chrono::milliseconds(250)};
  fs::last_write_time(path, std::chrono::file_clock::from_sys(since_1970));
  const auto status = file_status(path);
  ASSERT_TRUE(status);
  EXPECT_NEAR((status->written - day).s(), 0.25, 1e-6);
}

TEST(FileStatus, AnotherNameIsTheSameFileAndALinkIsItself) {
  const ScratchFolder folder;
  const fs::path path = folder / "clip.ser";
  std::ofstream(path) << "a";
  const auto before = file_status(path);
  fs::rename(path, folder / "renamed.ser");
  EXPECT_EQ(file_status(folder / "renamed.ser")->identity, before->identity);
  std::ofstream(path) << "b";
  EXPECT_NE(file_status(path)->identity, before->identity);
  fs::create_symlink(path, folder / "link.ser");
  EXPECT_EQ(file_status(folder / "link.ser")->kind, FileKind::file);
  EXPECT_EQ(file_status(folder / "link.ser", Links::told)->kind, FileKind::other);
}

TEST(FileStatus, WhatIsNotThereCannotBeRead) {
  const ScratchFolder folder;
  std::ofstream(folder / "clip.ser") << "a";
  EXPECT_TRUE(is_readable(folder / "clip.ser"));
  EXPECT_FALSE(is_readable(folder / "gone.ser"));
}

}  // namespace
}  // namespace halfarc
