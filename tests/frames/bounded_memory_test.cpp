// A recording far larger than memory is streamed in bounded memory. This is a program of its own, because the peak
// memory of a process never falls again.
#include <gtest/gtest.h>
#include <sys/resource.h>

#include <atomic>
#include <numeric>

#include "halfarc/frames/stream.h"
#include "recording_checks.h"
#include "scratch_folder.h"
#include "small_files.h"

namespace halfarc {
namespace {

double peak_mebibytes() {
  rusage usage{};
  ::getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024.0;
}

TEST(BoundedMemory, TwelveGigabytesOfFrames) {
  constexpr int kFrames = 42'000;  // 640 x 480 bytes each: 12.9 GB
  const ScratchFolder folder;
  const auto path = folder / "long.ser";
  RawFile file;
  file.width = 640;
  file.height = 480;
  file.frames = 0;
  file.said_frames = kFrames;
  put(path, raw_file_bytes(file, {}));
  std::filesystem::resize_file(path, 178 + std::uintmax_t{kFrames} * 640 * 480);  // sparse: takes no room on the disk
  const auto recording = opened(path);
  ASSERT_TRUE(recording);
  ASSERT_EQ(recording->info().frames, std::size_t{kFrames});

  std::vector<std::size_t> part(8000);  // 2.5 GB of it, from the far end
  std::iota(part.begin(), part.end(), std::size_t{kFrames} - part.size());
  std::atomic<std::size_t> seen = 0;
  Silent progress;
  const auto streamed =
      for_each_listed(*recording, part, {}, progress, "part", [&](const FrameBlock& block) -> Result<void> {
        seen += block.count;
        return {};
      });
  ASSERT_TRUE(streamed) << streamed.error().line();
  EXPECT_EQ(seen, part.size());
  // The bar is 1 GiB; what the sanitizers keep for themselves counts here too.
  EXPECT_LT(peak_mebibytes(), 256.0);
}

}  // namespace
}  // namespace halfarc
