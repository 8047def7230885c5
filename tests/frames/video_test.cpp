#include "halfarc/frames/video.h"

#include <gtest/gtest.h>

#include <thread>

#include "recording_checks.h"
#include "scratch_folder.h"
#include "small_files.h"
#include "small_video.h"

namespace halfarc {
namespace {

unsigned value(int f, int x, int y, int c) { return static_cast<unsigned>(13 * f + 3 * x + 7 * y + 40 * c) % 256; }
unsigned deep(int f, int x, int y, int c) { return 257 * value(f, x, y, c); }
unsigned deep12(int f, int x, int y, int c) { return 16 * value(f, x, y, c) + 15; }

constexpr unsigned kGrey = MKTAG('Y', '8', '0', '0');

SmallVideo like(const char* codec, AVPixelFormat format, const std::function<void(SmallVideo&)>& change = {}) {
  SmallVideo video;
  video.codec = codec;
  video.format = format;
  if (change) change(video);
  return video;
}

class VideoTest : public ::testing::Test {
 protected:
  std::unique_ptr<Recording> written(const std::string& name, const SmallVideo& video, const SampleAt& sample) {
    write_small_video(folder_ / name, video, sample);
    return opened(folder_ / name);
  }
  ScratchFolder folder_;
};

TEST_F(VideoTest, UncompressedGreyEvenAndOdd) {
  for (const auto& [width, height] : {std::pair{8, 6}, {7, 5}}) {
    const auto size = [&, w = width, h = height](SmallVideo& v) {
      v.tag = kGrey;
      v.width = w;
      v.height = h;
    };
    const auto recording = written("a.avi", like("rawvideo", AV_PIX_FMT_GRAY8, size), value);
    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->info().container, "video (rawvideo)");
    EXPECT_EQ(recording->info().mosaic, Mosaic::mono);
    EXPECT_EQ(recording->info().frames, 5U);
    expect_samples<std::uint8_t>(*recording, value);
    EXPECT_FALSE(has_note(*recording, "loss"));
  }
}

TEST_F(VideoTest, UncompressedColourIsRgbWithRowZeroOnTop) {
  for (const auto& [width, height] : {std::pair{8, 6}, {7, 5}}) {
    const auto size = [&, w = width, h = height](SmallVideo& v) {
      v.width = w;
      v.height = h;
    };
    const auto recording = written("a.avi", like("rawvideo", AV_PIX_FMT_BGR24, size), value);
    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->info().mosaic, Mosaic::rgb);
    expect_samples<std::uint8_t>(*recording, value);
  }
}

TEST_F(VideoTest, LosslessCodings) {
  const auto grey16 = written("a.mkv", like("ffv1", AV_PIX_FMT_GRAY16LE), deep);
  EXPECT_EQ(grey16->info().bits, 16);
  expect_samples<std::uint16_t>(*grey16, deep);
  const auto rgb8 = written("b.mov", like("png", AV_PIX_FMT_RGB24), value);
  expect_samples<std::uint8_t>(*rgb8, value);
  const auto rgb16 = written("c.mov", like("png", AV_PIX_FMT_RGB48BE), deep);
  EXPECT_EQ(rgb16->info().mosaic, Mosaic::rgb);
  expect_samples<std::uint16_t>(*rgb16, deep);
  const auto rgb12 = written("d.mkv", like("ffv1", AV_PIX_FMT_GBRP12LE), deep12);
  EXPECT_EQ(rgb12->info().bits, 12);
  expect_samples<std::uint16_t>(*rgb12, deep12);
  EXPECT_TRUE(rgb12->info().notes.size() == 1) << notes_of(*rgb12);
}

// Source: the codes of Linux' videodev2.h (BA81 is BGGR), as camera drivers hand them to programs that write AVI.
// FFmpeg's muxer does not write them, so they are put into the stream's format (BITMAPINFOHEADER: depth at 14, code at
// 16).
TEST_F(VideoTest, RawSamplesUnderTheCodesOfCameraDrivers) {
  struct Case {
    const char* code;
    Mosaic mosaic;
    int bits;
  };
  for (const Case& c : {Case{"RGGB", Mosaic::rggb, 8}, Case{"GRBG", Mosaic::grbg, 8}, Case{"GBRG", Mosaic::gbrg, 8},
                        Case{"BA81", Mosaic::bggr, 8}, Case{"Y16 ", Mosaic::mono, 16}}) {
    const auto path = folder_ / "a.avi";
    if (c.bits == 8)
      write_small_video(path, like("rawvideo", AV_PIX_FMT_GRAY8, [](SmallVideo& v) { v.tag = kGrey; }), value);
    if (c.bits == 16) {
      const auto wide = [](SmallVideo& v) {
        v.tag = kGrey;
        v.width = 16;
      };
      const auto bytes = [](int f, int x, int y, int) { return deep(f, x / 2, y, 0) >> (8 * (x % 2)) & 0xFF; };
      write_small_video(path, like("rawvideo", AV_PIX_FMT_GRAY8, wide), bytes);
    }
    std::string bytes = get(path);
    const std::size_t format = bytes.find("strf") + 8;
    bytes.replace(format + 4, 4, little(8, 4));
    bytes.replace(format + 14, 2, little(static_cast<unsigned>(c.bits), 2));
    bytes.replace(format + 16, 4, c.code);
    put(path, bytes);
    const auto recording = opened(path);
    ASSERT_TRUE(recording) << c.code;
    EXPECT_EQ(recording->info().mosaic, c.mosaic);
    if (c.bits == 8) expect_samples<std::uint8_t>(*recording, value);
    if (c.bits == 16) expect_samples<std::uint16_t>(*recording, deep);
  }
}

TEST_F(VideoTest, YuvBecomesRgbAndIsSaid) {
  const auto grey_yuv = [](int, int x, int, int c) { return c == 0 ? 16U + 10U * static_cast<unsigned>(x) : 128U; };
  const auto recording = written("a.mkv", like("ffv1", AV_PIX_FMT_YUV444P), grey_yuv);
  ASSERT_TRUE(recording);
  EXPECT_TRUE(has_note(*recording, "yuv444p samples were turned into RGB"));
  const auto frame = frame_of<std::uint8_t>(*recording);
  // Source: ITU-R BT.601: grey of luma Y is (Y - 16) * 255 / 219 in all three colours.
  for (std::size_t i = 0; i < frame.size(); ++i) {
    EXPECT_NEAR(frame[i], 10.0 * static_cast<double>(i / 3 % 8) * 255.0 / 219.0, 1.0);
  }
}

TEST_F(VideoTest, LossyCodingIsSaidAndFramesComeInAnyOrder) {
  const auto level = [](int f, int, int, int c) { return c == 0 ? 20U + 5U * static_cast<unsigned>(f) : 128U; };
  for (const char* name : {"a.mp4", "a.mkv", "a.avi"}) {
    const auto many = [](SmallVideo& v) {
      v.width = 32;
      v.height = 32;
      v.frames = 40;
    };
    const auto recording = written(name, like("mpeg4", AV_PIX_FMT_YUV420P, many), level);
    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->info().frames, 40U);
    EXPECT_TRUE(has_note(*recording, "compressed with loss (mpeg4)"));
    for (const std::size_t f : {0U, 1U, 2U, 39U, 3U, 20U, 19U, 0U, 38U}) {
      const double expected = (4.0 + 5.0 * static_cast<double>(f)) * 255.0 / 219.0;
      EXPECT_NEAR(frame_of<std::uint8_t>(*recording, f)[500], expected, 3.0) << name << " frame " << f;
    }
  }
}

TEST_F(VideoTest, ManyThreadsReadAtOnce) {
  const auto many = [](SmallVideo& v) {
    v.tag = kGrey;
    v.frames = 60;
  };
  const auto recording = written("a.avi", like("rawvideo", AV_PIX_FMT_GRAY8, many), value);
  ASSERT_TRUE(recording);
  std::vector<std::thread> threads;
  std::array<bool, 3> right{};
  for (std::size_t t = 0; t < right.size(); ++t) {
    threads.emplace_back([&, t] {
      bool all = true;
      for (std::size_t f = t; f < 60; f += 2) {
        std::array<std::byte, 48> frame{};
        all = all && recording->read(f, 1, frame).has_value();
        all = all && std::to_integer<unsigned>(frame[47]) == value(static_cast<int>(f), 7, 5, 0);
      }
      right[t] = all;
    });
  }
  for (auto& thread : threads) thread.join();
  for (const bool r : right) EXPECT_TRUE(r);
}

TEST_F(VideoTest, TimesCountFromTheCreationTime) {
  const auto dated = [](SmallVideo& v) { v.creation_time = "2026-11-25T20:00:00Z"; };
  const auto recording = written("a.mov", like("png", AV_PIX_FMT_RGB24, dated), value);
  ASSERT_TRUE(recording);
  ASSERT_EQ(recording->info().times.size(), 5U);
  EXPECT_EQ(recording->info().times[3].iso(3), "2026-11-25T20:00:00.120Z");
  EXPECT_TRUE(has_note(*recording, "creation time"));
  const auto undated = written("b.mov", like("png", AV_PIX_FMT_RGB24), value);
  EXPECT_TRUE(undated->info().times.empty());
  EXPECT_TRUE(has_note(*undated, "no frame times"));
}

TEST_F(VideoTest, ACutTailLeavesTheWholeFrames) {
  const auto many = [](SmallVideo& v) {
    v.tag = kGrey;
    v.frames = 50;
  };
  write_small_video(folder_ / "a.avi", like("rawvideo", AV_PIX_FMT_GRAY8, many), value);
  const std::string bytes = get(folder_ / "a.avi");
  put(folder_ / "a.avi", bytes.substr(0, bytes.size() - 2000));  // the index and some frames are gone
  const auto recording = opened(folder_ / "a.avi");
  ASSERT_TRUE(recording);
  EXPECT_LT(recording->info().frames, 50U);
  EXPECT_GT(recording->info().frames, 20U);
  expect_samples<std::uint8_t>(*recording, value);
}

TEST_F(VideoTest, RefusesWhatIsNoVideo) {
  const auto refuse = [&](const std::string& name, const std::string& bytes, const std::string& words) {
    put(folder_ / name, bytes);
    expect_refused(open_recording(folder_ / name), folder_ / name, words);
  };
  refuse("a.avi", "RIFF....AVI and then nothing", "video");
  refuse("a.mp4", std::string("\0\0\0\x10", 4) + "ftypisom" + std::string(50, '\0'), "video");
  refuse("a.mkv", "\x1A\x45\xDF\xA3" + std::string(100, 'x'), "video");
  refuse("b.mp4", "some text", "not a recording halfarc reads");
}

TEST_F(VideoTest, ANameWithASchemeIsStillAFile) {
  const auto path = folder_ / "http:a.avi";
  write_small_video(folder_ / "a.avi", like("rawvideo", AV_PIX_FMT_GRAY8, [](SmallVideo& v) { v.tag = kGrey; }), value);
  std::filesystem::rename(folder_ / "a.avi", path);
  EXPECT_TRUE(opened(path));
}

}  // namespace
}  // namespace halfarc
