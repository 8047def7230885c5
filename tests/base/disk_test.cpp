#include "halfarc/base/disk.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <fstream>

#include "scratch_folder.h"

namespace halfarc {
namespace {

TEST(Disk, AFullDiskIsOneLineThatSaysWhatToDo) {
  const int full = ::open("/dev/full", O_WRONLY);
  if (full < 0) GTEST_SKIP() << "this system has no /dev/full";
  const std::array<std::byte, 16> bytes{};
  const Result<void> written = write_all(full, bytes, "night/run.fits");
  ::close(full);
  ASSERT_FALSE(written);
  EXPECT_EQ(written.error().line().find('\n'), std::string::npos);
  EXPECT_NE(written.error().line().find("night/run.fits"), std::string::npos);
  EXPECT_NE(written.error().line().find("free some space"), std::string::npos);
}

TEST(Disk, EachTroubleHasItsOwnAdvice) {
  EXPECT_NE(cannot_write("a", ENOENT).line().find("make the folder"), std::string::npos);
  EXPECT_NE(cannot_write("a", ENAMETOOLONG).line().find("shorter name"), std::string::npos);
  EXPECT_NE(cannot_write("a", EACCES).line().find("another folder"), std::string::npos);
}

TEST(Disk, WritesAllOfIt) {
  const ScratchFolder folder;
  const auto path = folder / "bytes";
  const int file = ::open(path.c_str(), O_WRONLY | O_CREAT, 0600);
  const std::vector<std::byte> bytes(1 << 20, std::byte{7});
  EXPECT_TRUE(write_all(file, bytes, path));
  ::close(file);
  EXPECT_EQ(std::filesystem::file_size(path), bytes.size());
}

}  // namespace
}  // namespace halfarc
