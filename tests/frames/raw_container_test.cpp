#include "halfarc/frames/raw_container.h"

#include <gtest/gtest.h>

#include <array>
#include <thread>

#include "recording_checks.h"
#include "scratch_folder.h"
#include "small_files.h"

namespace halfarc {
namespace {

unsigned value8(int f, int x, int y, int c) { return static_cast<unsigned>(7 * f + 3 * x + 11 * y + 50 * c) % 256; }
unsigned value12(int f, int x, int y, int c) { return static_cast<unsigned>(7 * f + 300 * x + 11 * y + 5 * c) % 4096; }

class RawContainerTest : public ::testing::Test {
 protected:
  std::filesystem::path write(const RawFile& file, const SampleAt& sample, const std::string& tail = {}) {
    const auto path = folder_ / "run.ser";
    put(path, raw_file_bytes(file, sample) + tail);
    return path;
  }
  std::filesystem::path write_raw(const std::string& bytes) {
    const auto path = folder_ / "run.ser";
    put(path, bytes);
    return path;
  }

  ScratchFolder folder_;
};

RawFile with(const std::function<void(RawFile&)>& change) {
  RawFile file;
  change(file);
  return file;
}

TEST_F(RawContainerTest, MonoAndEveryBayerPhase) {
  const std::array<std::pair<int, Mosaic>, 5> codes = {
      {{0, Mosaic::mono}, {8, Mosaic::rggb}, {9, Mosaic::grbg}, {10, Mosaic::gbrg}, {11, Mosaic::bggr}}};
  for (const auto& [code, mosaic] : codes) {
    for (const auto& [width, height] : {std::pair{8, 6}, {7, 5}}) {
      const auto path = write(with([&, w = width, h = height, c = code](RawFile& f) {
                                f.colour = c;
                                f.width = w;
                                f.height = h;
                                f.times = ticks(3);
                              }),
                              value8);
      const auto recording = opened(path);
      ASSERT_TRUE(recording);
      EXPECT_EQ(recording->info().mosaic, mosaic);
      EXPECT_EQ(recording->info().width, width);
      EXPECT_EQ(recording->info().height, height);
      EXPECT_EQ(recording->info().bits, 8);
      EXPECT_EQ(recording->info().times.size(), 3U);
      EXPECT_TRUE(recording->info().notes.empty()) << notes_of(*recording);
      expect_samples<std::uint8_t>(*recording, value8);
    }
  }
}

TEST_F(RawContainerTest, OneBrightPixelStaysInItsPlace) {
  for (const auto& [width, height] : {std::pair{8, 6}, {7, 5}}) {
    const auto bright = [](int f, int x, int y, int) { return f == 1 && x == 5 && y == 1 ? 200U : 0U; };
    const auto recording = opened(write(with([&, w = width, h = height](RawFile& f) {
                                          f.width = w;
                                          f.height = h;
                                        }),
                                        bright));
    ASSERT_TRUE(recording);
    EXPECT_EQ(frame_of<std::uint8_t>(*recording, 1)[static_cast<std::size_t>(width + 5)], 200);
  }
}

TEST_F(RawContainerTest, ColoursComeOutAsRgb) {
  for (const int code : {100, 101}) {
    for (const int bits : {8, 12}) {
      const auto path = write(with([&](RawFile& f) {
                                f.colour = code;
                                f.bits = bits;
                              }),
                              bits == 8 ? value8 : value12);
      const auto recording = opened(path);
      ASSERT_TRUE(recording);
      EXPECT_EQ(recording->info().mosaic, Mosaic::rgb);
      const auto wanted = [&](int f, int x, int y, int c) {
        return (bits == 8 ? value8 : value12)(f, x, y, code == 100 ? c : 2 - c);
      };
      if (bits == 8) expect_samples<std::uint8_t>(*recording, wanted);
      if (bits == 12) expect_samples<std::uint16_t>(*recording, wanted);
    }
  }
}

TEST_F(RawContainerTest, TheSamplesDecideTheByteOrderNotTheFlag) {
  for (const bool big_endian : {false, true}) {
    for (const int flag : {0, 1}) {
      const auto path = write(with([&](RawFile& f) {
                                f.width = 32;
                                f.height = 20;
                                f.bits = 12;
                                f.colour = 8;
                                f.big_endian = big_endian;
                                f.endian_flag = flag;
                              }),
                              [](int, int x, int y, int) { return static_cast<unsigned>(100 + 31 * x + 43 * y); });
      const auto recording = opened(path);
      ASSERT_TRUE(recording);
      expect_samples<std::uint16_t>(*recording, [](int, int x, int y, int) { return 100 + 31 * x + 43 * y; });
      EXPECT_TRUE(has_note(*recording, big_endian ? "as big-endian" : "as little-endian")) << notes_of(*recording);
      EXPECT_EQ(recording->info().bits, 12);
    }
  }
}

TEST_F(RawContainerTest, EveryDepthFromNineToSixteen) {
  for (int bits = 9; bits <= 16; ++bits) {
    const unsigned top = (1U << bits) - 1;
    const auto ramp = [&](int, int x, int y, int) { return top * static_cast<unsigned>(x + 8 * y) / 47U; };
    const auto recording = opened(write(with([&](RawFile& f) { f.bits = bits; }), ramp));
    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->info().bits, bits);
    EXPECT_EQ(recording->info().full_scale(), static_cast<double>(top));
    expect_samples<std::uint16_t>(*recording, ramp);
  }
}

TEST_F(RawContainerTest, TwelveBitsInTheTopOfSixteen) {
  const auto recording = opened(write(with([](RawFile& f) { f.bits = 12; }),
                                      [](int f, int x, int y, int c) { return value12(f, x, y, c) << 4; }));
  ASSERT_TRUE(recording);
  EXPECT_EQ(recording->info().bits, 16);
  EXPECT_EQ(recording->info().zero_bits, 4);
  EXPECT_TRUE(has_note(*recording, "top of 16 bits"));
}

TEST_F(RawContainerTest, TimesAreUtcOfEveryFrame) {
  const auto recording = opened(write(with([](RawFile& f) { f.times = ticks(3, kSomeTicks, 83'333); }), value8));
  ASSERT_TRUE(recording);
  ASSERT_EQ(recording->info().times.size(), 3U);
  EXPECT_EQ(recording->info().times[0].iso(7), "2025-11-26T00:00:00.0000000Z");
  EXPECT_EQ(recording->info().times[2].iso(7), "2025-11-26T00:00:00.0166666Z");
  EXPECT_EQ(recording->info().start, recording->info().times[0]);
}

TEST_F(RawContainerTest, WithoutTimesTheHeaderGivesTheStart) {
  const auto recording = opened(write(RawFile{}, value8));
  ASSERT_TRUE(recording);
  EXPECT_TRUE(recording->info().times.empty());
  ASSERT_TRUE(recording->info().start);
  EXPECT_EQ(recording->info().start->iso(0), "2025-11-26T00:00:00Z");
  EXPECT_TRUE(has_note(*recording, "no frame times"));
}

TEST_F(RawContainerTest, WithoutAnyDateItSaysSo) {
  const auto recording = opened(write(with([](RawFile& f) {
                                        f.utc_ticks = 0;
                                        f.local_ticks = 0;
                                      }),
                                      value8));
  ASSERT_TRUE(recording);
  EXPECT_FALSE(recording->info().start);
  EXPECT_TRUE(has_note(*recording, "no date"));
}

TEST_F(RawContainerTest, TimesThatCannotBeBelieved) {
  const auto with_times = [&](std::vector<std::int64_t> times) {
    return opened(write(with([&](RawFile& f) { f.times = std::move(times); }), value8));
  };
  const auto zero = with_times({0, 0, 0});
  EXPECT_TRUE(zero->info().times.empty() && has_note(*zero, "3 of 3 frame times")) << notes_of(*zero);
  const auto old = with_times({kSomeTicks, 600'000'000'000'000'000, kSomeTicks});  // 1902
  EXPECT_TRUE(old->info().times.empty() && has_note(*old, "1 of 3 frame times")) << notes_of(*old);
  const auto equal = with_times({kSomeTicks, kSomeTicks, kSomeTicks});
  EXPECT_TRUE(equal->info().times.empty() && has_note(*equal, "same time")) << notes_of(*equal);
  const auto backwards = with_times({kSomeTicks, kSomeTicks + 900, kSomeTicks + 500});
  EXPECT_TRUE(backwards->info().times.size() == 3 && has_note(*backwards, "backwards")) << notes_of(*backwards);
}

TEST_F(RawContainerTest, LocalTimesBecomeUtc) {
  constexpr std::int64_t kHour = 36'000'000'000;
  const auto recording =
      opened(write(with([](RawFile& f) {
                     f.local_ticks = kSomeTicks + kHour;
                     f.times =
                         ticks(3, kSomeTicks + kHour + 50'000'000);  // five seconds after the start, on the local clock
                   }),
                   value8));
  ASSERT_TRUE(recording);
  EXPECT_EQ(recording->info().times.at(0).iso(0), "2025-11-26T00:00:05Z");
  EXPECT_TRUE(has_note(*recording, "local time, +1.00 h"));
}

TEST_F(RawContainerTest, ACutTailLeavesTheWholeFrames) {
  const std::string bytes = raw_file_bytes(with([](RawFile& f) { f.times = ticks(3); }), value8);
  const auto cut_in_frame = opened(write_raw(bytes.substr(0, 178 + 48 * 2 + 20)));
  ASSERT_TRUE(cut_in_frame);
  EXPECT_EQ(cut_in_frame->info().frames, 2U);
  EXPECT_TRUE(has_note(*cut_in_frame, "says 3 frames but the file holds 2 and a part of one"));
  expect_samples<std::uint8_t>(*cut_in_frame, value8);
  const auto cut_in_times = opened(write_raw(bytes.substr(0, bytes.size() - 10)));
  ASSERT_TRUE(cut_in_times);
  EXPECT_EQ(cut_in_times->info().frames, 3U);
  EXPECT_TRUE(cut_in_times->info().times.empty());
  EXPECT_TRUE(has_note(*cut_in_times, "times is cut off")) << notes_of(*cut_in_times);
}

TEST_F(RawContainerTest, WrongCountsAreFoundOut) {
  struct Case {
    std::int64_t said;
    bool times;
    const char* note;
  };
  for (const Case& c : {Case{2, true, "says 2 frames but the file holds 3; all"}, Case{2, false, "holds 3"},
                        Case{900, false, "says 900 frames but the file holds 3"}, Case{900, true, "holds 3; all"},
                        Case{0, false, "no frame count"}, Case{0xFFFFFFFFLL, true, "holds 3; all"}}) {
    const auto recording = opened(write(with([&](RawFile& f) {
                                          f.said_frames = c.said;
                                          if (c.times) f.times = ticks(3);
                                        }),
                                        value8));
    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->info().frames, 3U) << c.said;
    EXPECT_EQ(recording->info().times.size(), c.times ? 3U : 0U) << c.said;
    EXPECT_TRUE(has_note(*recording, c.note)) << notes_of(*recording);
    expect_samples<std::uint8_t>(*recording, value8);
  }
}

TEST_F(RawContainerTest, BytesBehindTheTimesAreSaid) {
  const auto recording = opened(write(with([](RawFile& f) { f.times = ticks(3); }), value8, "extra"));
  ASSERT_TRUE(recording);
  EXPECT_EQ(recording->info().times.size(), 3U);
  EXPECT_TRUE(has_note(*recording, "5 bytes of unknown content"));
}

TEST_F(RawContainerTest, RefusesWhatItCannotRead) {
  const auto refuse = [&](const std::filesystem::path& path, const std::string& words) {
    expect_refused(open_recording(path), path, words);
  };
  for (int code = 16; code <= 19; ++code) {
    refuse(write(with([&](RawFile& f) { f.colour = code; }), value8), "cyan-yellow-magenta");
  }
  refuse(write(with([](RawFile& f) { f.colour = 7; }), value8), "unknown colour code 7");
  refuse(write(with([](RawFile& f) { f.frames = 0; }), value8), "holds no frames");
  refuse(write(with([](RawFile& f) {
                 f.frames = 0;
                 f.said_frames = 70;
               }),
               value8),
         "holds no frames");
  const std::string good = raw_file_bytes(RawFile{}, value8);
  const auto with_int = [&](std::size_t at, std::uint64_t value) {
    std::string bytes = good;
    return bytes.replace(at, 4, little(value, 4));
  };
  refuse(write_raw(with_int(26, 0)), "0 x 6 pixels");
  refuse(write_raw(with_int(26, 0xFFFFFFFF)), "-1 x 6 pixels");
  refuse(write_raw(with_int(30, 0x7FFFFFFF)), "no camera has");
  refuse(write_raw(with_int(34, 0)), "0 bits");
  refuse(write_raw(with_int(34, 32)), "32 bits");
  refuse(write_raw(good.substr(0, 100)), "only 100 bytes");
  refuse(write_raw(good.substr(0, 178)), "holds no frames");
  refuse(write_raw(good.substr(0, 178 + 20)), "holds no frames");
  refuse(write_raw(std::string(500, 'a') + " plain text\n"), "unknown colour code");
  refuse(write_raw(""), "is empty");
}

TEST_F(RawContainerTest, IsKnownByItsContentUnderAnotherName) {
  const auto path = folder_ / "run.dat";
  put(path, raw_file_bytes(with([](RawFile& f) { f.times = ticks(3); }), value8));
  const auto recording = opened(path);
  ASSERT_TRUE(recording);
  EXPECT_EQ(recording->info().container, "raw frames (.ser)");
  put(path, raw_file_bytes(RawFile{}, value8) + "x");
  expect_refused(open_recording(path), path, "not a recording halfarc reads");
}

TEST_F(RawContainerTest, ManyThreadsReadAtOnce) {
  const auto recording = opened(write(with([](RawFile& f) { f.frames = 200; }), value8));
  ASSERT_TRUE(recording);
  std::vector<std::thread> threads;
  std::array<bool, 4> right{};
  for (std::size_t t = 0; t < right.size(); ++t) {
    threads.emplace_back([&, t] {
      bool all = true;
      for (std::size_t f = t; f < 200; f += 3) {
        std::array<std::byte, 48> frame{};
        all = all && recording->read(f, 1, frame).has_value();
        all = all && std::to_integer<unsigned>(frame[47]) == value8(static_cast<int>(f), 7, 5, 0);
      }
      right[t] = all;
    });
  }
  for (auto& thread : threads) thread.join();
  for (const bool r : right) EXPECT_TRUE(r);
}

TEST_F(RawContainerTest, AFileThatShrinksWhileItIsReadIsAnError) {
  const auto path = write(RawFile{}, value8);
  const auto recording = opened(path);
  ASSERT_TRUE(recording);
  std::filesystem::resize_file(path, 190);
  std::array<std::byte, 48> frame{};
  expect_refused(recording->read(0, 1, frame), path, "shorter");
}

}  // namespace
}  // namespace halfarc
