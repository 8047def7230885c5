#include "halfarc/base/disk_speed.h"

#include <gtest/gtest.h>

#include <array>
#include <iterator>

#include "scratch_folder.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

constexpr DiskTrial kShort{std::size_t{1} << 20, std::size_t{8} << 20, Duration::s(0.5)};

TEST(DiskSpeed, TriesAFolderAndLeavesNothing) {
  const ScratchFolder folder;
  const auto speed = measure_disk_speed(folder.path(), kShort);
  ASSERT_TRUE(speed) << speed.error().line();
  EXPECT_GT(speed->write_bytes_per_s.value, 0.0);
  EXPECT_GT(speed->write_bytes_per_s.sigma, 0.0);
  EXPECT_LE(speed->slowest_write_bytes_per_s, speed->write_bytes_per_s.value);
  EXPECT_GE(speed->tried_bytes, 3.0 * static_cast<double>(kShort.piece));
  EXPECT_LE(speed->tried_bytes, static_cast<double>(kShort.most));
  EXPECT_GT(speed->free_bytes, speed->tried_bytes);
  EXPECT_EQ(std::distance(fs::directory_iterator(folder.path()), fs::directory_iterator{}), 0);
}

// Memory answers every reading there, so that there is no speed of a disk to tell.
TEST(DiskSpeed, OfAFolderInMemoryIsCalledThat) {
  const fs::path shared = "/dev/shm";
  std::error_code ignored;
  if (!fs::is_directory(shared, ignored)) GTEST_SKIP() << "no folder in memory here";
  const auto speed = measure_disk_speed(shared, kShort);
  if (!speed) GTEST_SKIP() << speed.error().line();
  EXPECT_TRUE(speed->is_memory);
  EXPECT_FALSE(speed->read_bytes_per_s);
}

TEST(DiskSpeed, SaysWhichFolderCannotBeWritten) {
  const auto absent = measure_disk_speed("/absent/folder", kShort);
  ASSERT_FALSE(absent);
  EXPECT_NE(absent.error().line().find("/absent/folder"), std::string::npos);
}

TEST(DiskSpeed, NeverFillsTheDisk) {
  const ScratchFolder folder;
  DiskTrial greedy = kShort;
  greedy.piece = std::size_t{1} << 50;
  const auto tried = measure_disk_speed(folder.path(), greedy);
  ASSERT_FALSE(tried);
  EXPECT_NE(tried.error().what.find("No space left"), std::string::npos);
}

// Four pieces of 100 bytes in 1, 2, 1 and 2 s: 66.7 a second; the mean time is 1.5 +- 0.289 s (definition).
TEST(DiskSpeed, ARateCarriesTheScatterOfItsPieces) {
  const std::array seconds = {1.0, 2.0, 1.0, 2.0};
  const auto rate = rate_of_pieces(100.0, seconds);
  EXPECT_NEAR(rate.value, 66.667, 1e-3);
  EXPECT_NEAR(rate.sigma, 66.667 * 0.28868 / 1.5, 1e-3);
}

}  // namespace
}  // namespace halfarc
