#include <gtest/gtest.h>

#include "recording_checks.h"
#include "scratch_folder.h"
#include "small_files.h"

namespace halfarc {
namespace {

TEST(OpenRecording, RefusesWhatIsNoRecording) {
  const ScratchFolder folder;
  put(folder / "empty.ser", "");
  put(folder / "notes.txt", "seeing was good\n");
  put(folder / "short.fits", "SIMP");
  const auto refuse = [](const std::filesystem::path& path, const std::string& words) {
    expect_refused(open_recording(path), path, words);
  };
  refuse(folder / "absent.ser", "no such file");
  refuse(folder / "empty.ser", "is empty");
  refuse(folder / "notes.txt", "not a recording halfarc reads");
  refuse(folder / "short.fits", "not a recording halfarc reads");
  refuse("/dev/null", "device or pipe");
}

TEST(OpenRecording, ContentGoesBeforeTheName) {
  const ScratchFolder folder;
  put(folder / "a.ser", fits_file_bytes(8, {4, 3, 2}, {}, [](int, int, int) { return 1U; }));
  EXPECT_EQ(opened(folder / "a.ser")->info().container, "FITS cube");
}

TEST(OpenRecording, OddNamesAreOnlyNames) {
  const ScratchFolder folder;
  // CFITSIO and others give brackets, plus signs and colons in names a meaning of their own.
  for (const char* name : {"a[1].fits", "b+1.fits", "mem:c.fits", "d e.fits", "\xC3\xA9.fits", "-f.fits"}) {
    put(folder / name, fits_file_bytes(8, {4, 3, 2}, {}, [](int, int, int) { return 1U; }));
    EXPECT_EQ(opened(folder / name)->info().frames, 2U) << name;
  }
}

}  // namespace
}  // namespace halfarc
