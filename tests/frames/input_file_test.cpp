#include "halfarc/frames/input_file.h"

#include <gtest/gtest.h>
#include <sys/stat.h>

#include <array>

#include "recording_checks.h"
#include "scratch_folder.h"
#include "small_files.h"

namespace halfarc {
namespace {

TEST(InputFile, ReadsAnywhere) {
  const ScratchFolder folder;
  put(folder / "a", "0123456789");
  const auto file = InputFile::open(folder / "a");
  ASSERT_TRUE(file);
  EXPECT_EQ(file->size(), 10U);
  std::array<char, 3> three{};
  ASSERT_TRUE(file->read(4, std::as_writable_bytes(std::span(three))));
  EXPECT_EQ(std::string(three.data(), 3), "456");
  EXPECT_EQ(file->head(4)->size(), 4U);
  EXPECT_EQ(file->head(40)->size(), 10U);
}

TEST(InputFile, SaysWhenTheFileHasBecomeShorter) {
  const ScratchFolder folder;
  put(folder / "a", "0123456789");
  const auto file = InputFile::open(folder / "a");
  ASSERT_TRUE(file);
  std::filesystem::resize_file(folder / "a", 5);
  std::array<char, 4> four{};
  expect_refused(file->read(4, std::as_writable_bytes(std::span(four))), folder / "a", "shorter");
}

TEST(InputFile, RefusesWhatIsNoFile) {
  const ScratchFolder folder;
  put(folder / "empty", "");
  ASSERT_EQ(::mkfifo((folder / "pipe").c_str(), 0600), 0);
  expect_refused(InputFile::open(folder / "absent"), folder / "absent", "no such file");
  expect_refused(InputFile::open((folder / "empty") / "below"), folder / "empty", "no such file");
  expect_refused(InputFile::open(folder / "empty"), folder / "empty", "is empty");
  expect_refused(InputFile::open(folder.path()), folder.path(), "is a folder");
  expect_refused(InputFile::open(folder / "pipe"), folder / "pipe", "device or pipe");  // and does not wait for it
  expect_refused(InputFile::open("/dev/zero"), "/dev/zero", "device or pipe");
}

}  // namespace
}  // namespace halfarc
