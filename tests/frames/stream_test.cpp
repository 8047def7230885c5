#include "halfarc/frames/stream.h"

#include <gtest/gtest.h>

#include <atomic>
#include <mutex>
#include <numeric>
#include <set>

#include "halfarc/frames/recording.h"
#include "recording_checks.h"

namespace halfarc {
namespace {

// Frames of 10 samples; every sample of frame n is n. Reading `broken` fails.
class Counting final : public Recording {
 public:
  explicit Counting(std::size_t frames, std::size_t broken = SIZE_MAX) : Recording(make(frames)), broken_(broken) {}

  Result<void> read(std::size_t first, std::size_t count, std::span<std::byte> into) const override {
    HALFARC_CHECK(check_range(first, count, into));
    ++reads;
    for (std::size_t i = 0; i < into.size(); ++i) into[i] = static_cast<std::byte>(first + i / 10);
    if (broken_ >= first && broken_ < first + count) return failed("broken", "frame", "mend");
    return {};
  }

  mutable std::atomic<int> reads = 0;

 private:
  static RecordingInfo make(std::size_t frames) {
    RecordingInfo info;
    info.path = "counting";
    info.width = 5;
    info.height = 2;
    info.frames = frames;
    return info;
  }
  std::size_t broken_;
};

class Watching final : public Progress {
 public:
  void report(std::string_view stage, std::size_t done, std::size_t total) override {
    const std::lock_guard lock(mutex);
    stages.insert(std::string(stage));
    most = std::max(most, done);
    last_total = total;
    ++reports;
  }
  bool stop_requested() const override { return reports.load() >= stop_after; }

  std::mutex mutex;
  std::set<std::string> stages;
  std::size_t most = 0;
  std::size_t last_total = 0;
  std::atomic<int> reports = 0;
  int stop_after = 1 << 30;
};

StreamOptions options(int threads, std::size_t block_bytes) {
  StreamOptions o;
  o.threads.count = threads;
  o.block_bytes = block_bytes;
  return o;
}

TEST(Stream, EveryFrameOnceForAnyThreadsAndBlocks) {
  const Counting recording(101);
  for (const int threads : {1, 2, 7}) {
    for (const std::size_t block : {1U, 10U, 64U, 5000U}) {
      Watching progress;
      std::vector<std::atomic<int>> seen(101);
      const auto result = for_each_block(recording, options(threads, block), progress, "indexing",
                                         [&](const FrameBlock& b) -> Result<void> {
                                           EXPECT_EQ(reinterpret_cast<std::uintptr_t>(b.bytes.data()) % 64, 0U);
                                           EXPECT_EQ(b.bytes.size(), b.count * 10);
                                           EXPECT_LE(b.bytes.size(), std::max<std::size_t>(10, block));
                                           for (std::size_t i = 0; i < b.count; ++i) {
                                             EXPECT_EQ(b.bytes[10 * i + 9], static_cast<std::byte>(b.first + i));
                                             ++seen[b.first + i];
                                           }
                                           return {};
                                         });
      ASSERT_TRUE(result);
      for (const auto& times : seen) ASSERT_EQ(times, 1);
      EXPECT_EQ(progress.most, 101U);
      EXPECT_EQ(progress.last_total, 101U);
      EXPECT_EQ(progress.stages, (std::set<std::string>{"indexing"}));
    }
  }
}

TEST(Stream, ListedFramesAreReadWithTheirNeighbours) {
  const Counting recording(100);
  const std::vector<std::size_t> wanted = {0, 1, 2, 3, 4, 7, 50, 51, 99};
  Silent progress;
  std::mutex mutex;
  std::vector<std::size_t> seen;
  std::multiset<std::size_t> counts;
  const auto result =
      for_each_listed(recording, wanted, options(2, 40), progress, "reading", [&](const FrameBlock& b) -> Result<void> {
        const std::lock_guard lock(mutex);
        counts.insert(b.count);
        for (std::size_t i = 0; i < b.count; ++i) {
          EXPECT_EQ(b.bytes[10 * i], static_cast<std::byte>(b.first + i));
          seen.push_back(b.first + i);
        }
        return {};
      });
  ASSERT_TRUE(result);
  std::sort(seen.begin(), seen.end());
  EXPECT_EQ(seen, wanted);
  EXPECT_EQ(counts, (std::multiset<std::size_t>{1, 1, 1, 2, 4}));  // 0-3, 4, 7, 50-51, 99
  EXPECT_TRUE(
      for_each_listed(recording, {}, {}, progress, "none", [](const FrameBlock&) -> Result<void> { return {}; }));
}

TEST(Stream, TheFirstErrorOfTheBodyStopsIt) {
  const Counting recording(1000);
  Silent progress;
  std::atomic<int> calls = 0;
  const auto result =
      for_each_block(recording, options(2, 10), progress, "x", [&](const FrameBlock& b) -> Result<void> {
        ++calls;
        if (b.first >= 20) return failed("body", "here", "there");
        return {};
      });
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().what, "body");
  EXPECT_LT(calls.load(), 40);
}

TEST(Stream, TheFirstErrorOfTheReaderStopsIt) {
  const Counting recording(1000, 20);
  Silent progress;
  std::atomic<bool> saw_broken = false;
  const auto result =
      for_each_block(recording, options(2, 10), progress, "x", [&](const FrameBlock& b) -> Result<void> {
        if (b.first == 20) saw_broken = true;
        return {};
      });
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().what, "broken");
  EXPECT_FALSE(saw_broken);
  EXPECT_LT(recording.reads.load(), 40);
}

TEST(Stream, StopsWhenAsked) {
  const Counting recording(1000);
  Watching progress;
  progress.stop_after = 5;
  const auto result =
      for_each_block(recording, options(2, 10), progress, "x", [](const FrameBlock&) -> Result<void> { return {}; });
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().kind, ErrorKind::cancelled);
  EXPECT_LT(progress.most, 20U);
}

TEST(Stream, ABugInTheBodyComesOut) {
  const Counting recording(100);
  Silent progress;
  const auto buggy = [](const FrameBlock&) -> Result<void> { throw std::logic_error("bug"); };
  EXPECT_THROW((void)for_each_block(recording, options(2, 10), progress, "x", buggy), std::logic_error);
}

TEST(Stream, VisitsSamplesByType) {
  const std::vector<std::uint16_t> words = {1, 2, 513};
  const auto bytes = std::as_bytes(std::span(words));
  const auto sum = [](auto samples) { return std::accumulate(samples.begin(), samples.end(), 0.0); };
  EXPECT_EQ(visit_samples(Sample::u16, bytes, sum), 516.0);
  EXPECT_EQ(visit_samples(Sample::u8, bytes, sum), 1 + 2 + 1 + 2);
  const std::vector<float> floats = {0.5F, 2.0F};
  EXPECT_EQ(visit_samples(Sample::f32, std::as_bytes(std::span(floats)), sum), 2.5);
}

TEST(Recording, RefusesFramesItDoesNotHold) {
  const Counting recording(10);
  std::vector<std::byte> two(20);
  expect_refused(recording.read(9, 2, two), "counting", "9 to 11");
  expect_refused(recording.read(SIZE_MAX, 2, two), "counting", "it holds 10");
  expect_refused(recording.read(0, 3, two), "counting", "buffer of 20 bytes");
}

TEST(Recording, FullScaleLeavesOutUnusedBits) {
  RecordingInfo info;
  info.bits = 12;
  EXPECT_EQ(info.full_scale(), 4095.0);
  info.bits = 16;
  info.zero_bits = 4;
  EXPECT_EQ(info.full_scale(), 65520.0);
  info.bits = 1;
  info.zero_bits = 0;
  EXPECT_EQ(info.full_scale(), 1.0);
}

}  // namespace
}  // namespace halfarc
