#include "halfarc/base/atomic_file.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <sched.h>
#include <signal.h>
#include <sys/mount.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <fstream>
#include <functional>
#include <iterator>
#include <thread>

#include "scratch_folder.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

std::string text_of(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

std::ptrdiff_t files_in(const fs::path& folder) {
  return std::distance(fs::directory_iterator(folder), fs::directory_iterator{});
}

// Runs `body` in a child process, which ends with what it returns.
pid_t start_child(const std::function<int()>& body) {
  const pid_t child = ::fork();
  if (child == 0) ::_exit(body());
  return child;
}

int wait_for(pid_t child) {
  int status = 0;
  ::waitpid(child, &status, 0);
  return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

constexpr int kAsExpected = 0;
constexpr int kOtherwise = 1;
constexpr int kNotAllowedHere = 77;

TEST(AtomicFile, IsThereOnlyAfterCommit) {
  const ScratchFolder folder;
  const auto path = folder / "image.fits";
  auto file = AtomicFile::create(path);
  ASSERT_TRUE(file) << file.error().line();
  ASSERT_TRUE(file->write("half "));
  EXPECT_FALSE(fs::exists(path));
  EXPECT_TRUE(fs::exists(file->temporary_path()));
  ASSERT_TRUE(file->write("an arc"));
  ASSERT_TRUE(file->commit());
  EXPECT_EQ(text_of(path), "half an arc");
  EXPECT_EQ(files_in(folder.path()), 1);
}

TEST(AtomicFile, LeavesNothingWhenGivenUp) {
  const ScratchFolder folder;
  {
    auto file = AtomicFile::create(folder / "image.fits");
    ASSERT_TRUE(file);
    ASSERT_TRUE(file->write("half"));
  }
  EXPECT_EQ(files_in(folder.path()), 0);
}

TEST(AtomicFile, ReplacesWholeAndKeepsTheOldUntilThen) {
  const ScratchFolder folder;
  const auto path = folder / "rig.toml";
  ASSERT_TRUE(write_file(path, "old"));
  auto file = AtomicFile::create(path);
  ASSERT_TRUE(file);
  ASSERT_TRUE(file->write("new"));
  EXPECT_EQ(text_of(path), "old");
  ASSERT_TRUE(file->commit());
  EXPECT_EQ(text_of(path), "new");
}

TEST(AtomicFile, MovesWithItsFile) {
  const ScratchFolder folder;
  auto first = AtomicFile::create(folder / "a");
  ASSERT_TRUE(first);
  AtomicFile second = std::move(first).value();
  ASSERT_TRUE(second.write("x"));
  ASSERT_TRUE(second.commit());
  EXPECT_EQ(text_of(folder / "a"), "x");
}

TEST(AtomicFile, CommitsWhatALibraryWroteUnderTheTemporaryName) {
  const ScratchFolder folder;
  auto file = AtomicFile::create(folder / "image.png");
  ASSERT_TRUE(file);
  fs::remove(file->temporary_path());  // some libraries insist on making the file themselves
  std::ofstream(file->temporary_path()) << "pixels";
  ASSERT_TRUE(file->commit());
  EXPECT_EQ(text_of(folder / "image.png"), "pixels");
}

TEST(AtomicFile, WhenTheTemporaryFileVanishesItSaysSo) {
  const ScratchFolder folder;
  auto file = AtomicFile::create(folder / "image.png");
  ASSERT_TRUE(file);
  fs::remove(file->temporary_path());
  EXPECT_FALSE(file->commit());
  EXPECT_FALSE(fs::exists(folder / "image.png"));
}

TEST(AtomicFile, ManyAtOnceBesideEachOther) {
  const ScratchFolder folder;
  std::vector<AtomicFile> files;
  for (int i = 0; i < 5; ++i) {
    auto file = AtomicFile::create(folder / "same");
    ASSERT_TRUE(file);
    ASSERT_TRUE(file->write(std::to_string(i)));
    files.push_back(std::move(file).value());
  }
  for (AtomicFile& file : files) ASSERT_TRUE(file.commit());
  EXPECT_EQ(text_of(folder / "same"), "4");
  EXPECT_EQ(files_in(folder.path()), 1);
}

TEST(AtomicFile, ObeysTheUmask) {
  const ScratchFolder folder;
  const mode_t before = ::umask(027);
  ASSERT_TRUE(write_file(folder / "a", "x"));
  ::umask(before);
  EXPECT_EQ(fs::status(folder / "a").permissions(), fs::perms(0640));
}

void expect_refused(const fs::path& path, const std::string& word) {
  const auto file = AtomicFile::create(path);
  ASSERT_FALSE(file) << path;
  EXPECT_EQ(file.error().where, path.string());
  EXPECT_NE(file.error().line().find(word), std::string::npos) << file.error().line();
  EXPECT_FALSE(file.error().to_do.empty());
}

TEST(AtomicFile, RefusesPlacesThatCannotHoldIt) {
  const ScratchFolder folder;
  std::ofstream(folder / "plain") << "x";
  expect_refused(folder / "absent/image.fits", "No such file");
  expect_refused(folder / "plain/image.fits", "Not a directory");
  expect_refused(folder.path(), "is a folder");
  expect_refused(folder.path().string() + "/", "is a folder");
  expect_refused(folder / std::string(300, 'n'), "File name too long");
  expect_refused("/dev/null", "device");
  EXPECT_EQ(files_in(folder.path()), 1);
}

TEST(AtomicFile, RefusesAnUnwritableFolder) {
  const ScratchFolder folder;
  fs::permissions(folder.path(), fs::perms(0555));
  const int ended = wait_for(start_child([&] {
    if (::geteuid() == 0 && ::setuid(65534) != 0) return kNotAllowedHere;  // root may write everywhere, nobody not
    const auto file = AtomicFile::create(folder / "image.fits");
    const bool said = !file && file.error().what.find("Permission denied") != std::string::npos;
    return said ? kAsExpected : kOtherwise;
  }));
  fs::permissions(folder.path(), fs::perms(0755));
  if (ended == kNotAllowedHere) GTEST_SKIP() << "root here may not become another user";
  EXPECT_EQ(ended, kAsExpected);
  EXPECT_EQ(files_in(folder.path()), 0);
}

TEST(AtomicFile, SaysWhenAFileMayGrowNoFurther) {
  const ScratchFolder folder;
  const int ended = wait_for(start_child([&] {
    ::signal(SIGXFSZ, SIG_IGN);
    const rlimit limit{4096, 4096};
    if (::setrlimit(RLIMIT_FSIZE, &limit) != 0) return kNotAllowedHere;
    const auto written = write_file(folder / "image.fits", std::string(10'000, 'x'));
    const bool said = !written && written.error().what.find("File too large") != std::string::npos;
    return said ? kAsExpected : kOtherwise;
  }));
  ASSERT_NE(ended, kNotAllowedHere);
  EXPECT_EQ(ended, kAsExpected);
  EXPECT_EQ(files_in(folder.path()), 0);
}

TEST(AtomicFile, SaysWhenTheDiskIsFull) {
  const ScratchFolder folder;
  const int ended = wait_for(start_child([&] {
    const int apart = ::geteuid() == 0 ? CLONE_NEWNS : CLONE_NEWNS | CLONE_NEWUSER;
    if (::unshare(apart) != 0) return kNotAllowedHere;
    if (::mount("none", "/", nullptr, MS_REC | MS_PRIVATE, nullptr) != 0) return kNotAllowedHere;
    if (::mount("tmpfs", folder.path().c_str(), "tmpfs", 0, "size=64k") != 0) return kNotAllowedHere;
    const auto written = write_file(folder / "image.fits", std::string(200'000, 'x'));
    if (written || written.error().what.find("No space left") == std::string::npos) return kOtherwise;
    if (written.error().to_do.find("free some space") == std::string::npos) return kOtherwise;
    return files_in(folder.path()) == 0 ? kAsExpected : kOtherwise;
  }));
  if (ended == kNotAllowedHere) GTEST_SKIP() << "this user may not mount a small disk to fill";
  EXPECT_EQ(ended, kAsExpected);
}

TEST(AtomicFile, KilledWhileWritingLeavesNoFinalName) {
  const ScratchFolder folder;
  int has_begun[2];
  ASSERT_EQ(::pipe(has_begun), 0);
  const pid_t child = start_child([&] {
    auto file = AtomicFile::create(folder / "image.fits");
    const std::string block(100'000, 'x');
    for (int i = 0; i < 1'000'000; ++i) {
      if (!file->write(block)) return kOtherwise;
      if (i == 3 && ::write(has_begun[1], "x", 1) != 1) return kOtherwise;
      ::usleep(1000);
    }
    return kOtherwise;
  });
  char signal_byte;
  ASSERT_EQ(::read(has_begun[0], &signal_byte, 1), 1);
  ASSERT_EQ(::kill(child, SIGKILL), 0);
  EXPECT_EQ(wait_for(child), 128 + SIGKILL);
  ::close(has_begun[0]);
  ::close(has_begun[1]);
  EXPECT_FALSE(fs::exists(folder / "image.fits"));
  EXPECT_EQ(files_in(folder.path()), 1);  // the temporary file is all that is left
}

TEST(AtomicFile, KilledAtAnyMomentTheNameHoldsOneWholeVersion) {
  const ScratchFolder folder;
  const auto path = folder / "log";
  ASSERT_TRUE(write_file(path, std::string(50'000, 'a')));
  for (int i = 0; i < 40; ++i) {
    const pid_t child = start_child([&] {
      for (char c = 'b';; c = c == 'z' ? 'b' : static_cast<char>(c + 1)) {
        if (!write_file(path, std::string(50'000, c))) return kOtherwise;
      }
    });
    std::this_thread::sleep_for(std::chrono::microseconds(500 + 271 * i));
    ASSERT_EQ(::kill(child, SIGKILL), 0);
    ASSERT_EQ(wait_for(child), 128 + SIGKILL);
    const std::string text = text_of(path);
    ASSERT_EQ(text.size(), 50'000U);
    ASSERT_EQ(text.find_first_not_of(text.front()), std::string::npos);
  }
}

}  // namespace
}  // namespace halfarc
