#include "halfarc/frames/fits_recording.h"

#include <gtest/gtest.h>

#include <bit>
#include <cmath>
#include <limits>

#include "halfarc/frames/fits_frames.h"
#include "halfarc/frames/fits_guard.h"
#include "halfarc/frames/fits_header.h"
#include "recording_checks.h"
#include "scratch_folder.h"
#include "small_files.h"

namespace halfarc {
namespace {

std::uint32_t value(int plane, int x, int y) { return static_cast<std::uint32_t>(60 * plane + 3 * x + 11 * y); }

const Cards kTopDown = {{"ROWORDER", "'TOP-DOWN'"}};

class FitsRecordingTest : public ::testing::Test {
 protected:
  std::filesystem::path write(const std::string& bytes, const std::string& name = "run.fits") {
    put(folder_ / name, bytes);
    return folder_ / name;
  }
  ScratchFolder folder_;
};

TEST_F(FitsRecordingTest, CubeOfBytes) {
  for (const auto& [width, height] : {std::pair{8, 6}, {7, 5}}) {
    const auto recording = opened(write(fits_file_bytes(8, {width, height, 4}, kTopDown, value)));
    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->info().container, "FITS cube");
    EXPECT_EQ(recording->info().frames, 4U);
    EXPECT_EQ(recording->info().sample, Sample::u8);
    expect_samples<std::uint8_t>(*recording, [](int f, int x, int y, int) { return value(f, x, y); });
    EXPECT_TRUE(has_note(*recording, "no frame times"));
  }
}

// Source: FITS 4.0, 4.4.2.5 and Table 11: unsigned 16-bit has BZERO 32768; stored 0x8000 is 0, 0 is 32768, 0x7FFF
// 65535.
TEST_F(FitsRecordingTest, UnsignedWords) {
  const Cards cards = {{"BZERO", "32768"}, {"BSCALE", "1"}};
  const auto stored = [](int, int x, int) {
    return std::array<std::uint32_t, 3>{0x8000, 0, 0x7FFF}[static_cast<std::size_t>(x)];
  };
  const auto recording = opened(write(fits_file_bytes(16, {3, 2, 2}, cards, stored)));
  ASSERT_TRUE(recording);
  EXPECT_EQ(recording->info().sample, Sample::u16);
  EXPECT_EQ(recording->info().bits, 16);
  const auto frame = frame_of<std::uint16_t>(*recording);
  EXPECT_EQ((std::vector<std::uint16_t>{frame.begin(), frame.begin() + 3}),
            (std::vector<std::uint16_t>{0, 32768, 65535}));
}

TEST_F(FitsRecordingTest, SignedWordsWithoutNegativesAreCounts) {
  const auto recording = opened(write(fits_file_bytes(16, {3, 2, 2}, kTopDown, value)));
  ASSERT_TRUE(recording);
  EXPECT_EQ(recording->info().sample, Sample::u16);
  expect_samples<std::uint16_t>(*recording, [](int f, int x, int y, int) { return value(f, x, y); });
}

TEST_F(FitsRecordingTest, SignedWordsWithNegativesAreFloats) {
  const auto stored = [](int, int x, int) { return static_cast<std::uint32_t>(x - 1) & 0xFFFFU; };
  const auto recording = opened(write(fits_file_bytes(16, {3, 2, 2}, kTopDown, stored)));
  ASSERT_TRUE(recording);
  EXPECT_EQ(recording->info().sample, Sample::f32);
  EXPECT_TRUE(has_note(*recording, "negative"));
  EXPECT_EQ(frame_of<float>(*recording)[0], -1.0F);
}

TEST_F(FitsRecordingTest, ScaledSamplesArePhysical) {
  const Cards cards = {{"BZERO", "10.5"}, {"BSCALE", "0.25"}};
  for (const int bitpix : {8, 16}) {
    const auto recording = opened(write(fits_file_bytes(bitpix, {3, 2, 2}, cards, value)));
    ASSERT_TRUE(recording);
    expect_samples<float>(*recording, [](int f, int x, int y, int) { return 10.5 + 0.25 * value(f, x, y); });
  }
}

std::uint32_t bits_of(float v) { return std::bit_cast<std::uint32_t>(v); }

TEST_F(FitsRecordingTest, FloatsAndTheirScale) {
  struct Case {
    float most;
    int bits;
  };
  for (const Case& c :
       {Case{0.7F, 1}, Case{1.0F, 1}, Case{200.0F, 8}, Case{4000.0F, 12}, Case{65535.0F, 16}, Case{70000.0F, 17}}) {
    const auto stored = [&](int, int x, int y) { return bits_of(c.most * static_cast<float>(x + 3 * y) / 5.0F); };
    const auto recording = opened(write(fits_file_bytes(-32, {3, 2, 2}, kTopDown, stored)));
    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->info().bits, c.bits) << c.most;
    EXPECT_GE(recording->info().full_scale(), c.most);
    expect_samples<float>(*recording,
                          [&](int, int x, int y, int) { return c.most * static_cast<float>(x + 3 * y) / 5.0F; });
  }
}

TEST_F(FitsRecordingTest, NotANumberBecomesZero) {
  const float odd[] = {std::numeric_limits<float>::quiet_NaN(), std::numeric_limits<float>::infinity(), 0.5F};
  const auto recording =
      opened(write(fits_file_bytes(-32, {3, 2}, kTopDown, [&](int, int x, int) { return bits_of(odd[x]); })));
  ASSERT_TRUE(recording);
  const auto frame = frame_of<float>(*recording);
  EXPECT_EQ(frame[0], 0.0F);
  EXPECT_EQ(frame[1], 0.0F);
  EXPECT_EQ(frame[2], 0.5F);
  EXPECT_EQ(recording->info().bits, 1);
}

TEST_F(FitsRecordingTest, SaturationOfTheHeaderIsFullScale) {
  const Cards cards = {{"BZERO", "32768"}, {"BSCALE", "1"}, {"SATURATE", "4095"}};
  const auto recording = opened(write(fits_file_bytes(16, {3, 2, 2}, cards, [](int, int, int) { return 0x8005U; })));
  ASSERT_TRUE(recording);
  EXPECT_EQ(recording->info().bits, 12);
  EXPECT_EQ(recording->info().full_scale(), 4095.0);
}

// The colour that the file means at a place must be the colour the recording says, wherever the place has moved to.
TEST_F(FitsRecordingTest, BayerPatternOffsetsAndRowOrder) {
  for (const Mosaic pattern : {Mosaic::rggb, Mosaic::grbg, Mosaic::gbrg, Mosaic::bggr}) {
    for (const int dx : {0, 1}) {
      for (const int dy : {0, 1}) {
        for (const bool bottom_up : {false, true}) {
          for (const int height : {4, 5}) {
            const Cards cards = {{"BAYERPAT", "'" + std::string(name(pattern)) + "'"},
                                 {"XBAYROFF", std::to_string(dx)},
                                 {"YBAYROFF", std::to_string(dy)},
                                 {"ROWORDER", bottom_up ? "'BOTTOM-UP'" : "'TOP-DOWN'"}};
            const auto stored = [&](int, int x, int y) {
              return 1U + static_cast<unsigned>(colour_at(pattern, x + dx, y + dy));
            };
            const auto recording = opened(write(fits_file_bytes(8, {5, height, 3}, cards, stored)));
            ASSERT_TRUE(recording);
            EXPECT_EQ(recording->info().frames, 3U);  // three frames of a mosaic, not three colours
            expect_samples<std::uint8_t>(*recording, [&](int, int x, int y, int) {
              return 1 + static_cast<int>(colour_at(recording->info().mosaic, x, y));
            });
          }
        }
      }
    }
  }
}

TEST_F(FitsRecordingTest, OneBrightPixelInEitherRowOrder) {
  for (const auto& [width, height] : {std::pair{8, 6}, {7, 5}}) {
    const auto bright = [](int, int x, int y) { return x == 2 && y == 1 ? 9U : 0U; };
    for (const bool bottom_up : {false, true}) {
      const Cards cards = {{"ROWORDER", bottom_up ? "'BOTTOM-UP'" : "'TOP-DOWN'"}};
      const auto recording = opened(write(fits_file_bytes(8, {width, height}, cards, bright)));
      ASSERT_TRUE(recording);
      const int row = bottom_up ? height - 2 : 1;
      EXPECT_EQ(frame_of<std::uint8_t>(*recording)[static_cast<std::size_t>(row * width + 2)], 9);
    }
  }
}

TEST_F(FitsRecordingTest, ThreePlanesAreColoursUnlessSomethingSaysFrames) {
  const auto colour = opened(write(fits_file_bytes(8, {4, 3, 3}, kTopDown, value)));
  ASSERT_TRUE(colour);
  EXPECT_EQ(colour->info().mosaic, Mosaic::rgb);
  EXPECT_EQ(colour->info().frames, 1U);
  EXPECT_TRUE(has_note(*colour, "colour planes red, green, blue"));
  expect_samples<std::uint8_t>(*colour, [](int, int x, int y, int c) { return value(c, x, y); });

  const auto frames = opened(write(fits_file_bytes(8, {4, 3, 3}, {{"CTYPE3", "'FRAME'"}}, value)));
  ASSERT_TRUE(frames);
  EXPECT_EQ(frames->info().frames, 3U);
  EXPECT_EQ(frames->info().mosaic, Mosaic::mono);

  const auto both = opened(
      write(fits_file_bytes(8, {4, 3, 3, 2}, kTopDown, [](int p, int x, int y) { return value(p, x, y) % 200; })));
  ASSERT_TRUE(both);
  EXPECT_EQ(both->info().frames, 2U);
  expect_samples<std::uint8_t>(*both, [](int f, int x, int y, int c) { return value(3 * f + c, x, y) % 200; });
}

TEST_F(FitsRecordingTest, DateOfTheExposure) {
  const Cards cards = {{"DATE-OBS", "'2026-11-25T21:00:00.500'"}, {"EXPTIME", "0.02"}};
  const auto recording = opened(write(fits_file_bytes(8, {4, 3}, cards, value)));
  ASSERT_TRUE(recording);
  EXPECT_EQ(recording->info().start->iso(3), "2026-11-25T21:00:00.500Z");
  EXPECT_EQ(recording->info().times.at(0).iso(3), "2026-11-25T21:00:00.510Z");
  const auto odd = opened(write(fits_file_bytes(8, {4, 3}, {{"DATE-OBS", "'yesterday'"}}, value)));
  ASSERT_TRUE(odd);
  EXPECT_FALSE(odd->info().start);
  EXPECT_TRUE(has_note(*odd, "'yesterday' is not a date"));
}

TEST_F(FitsRecordingTest, ACutTailLeavesTheWholeFrames) {
  const std::string bytes = fits_file_bytes(16, {40, 30, 4}, kTopDown, value);
  const auto recording = opened(write(bytes.substr(0, 2880 + 2400 * 2 + 77)));
  ASSERT_TRUE(recording);
  EXPECT_EQ(recording->info().frames, 2U);
  EXPECT_TRUE(has_note(*recording, "says 4 frames but the file holds 2")) << notes_of(*recording);
  expect_samples<std::uint16_t>(*recording, [](int f, int x, int y, int) { return value(f, x, y); });
}

TEST_F(FitsRecordingTest, FindsTheImageInAnExtension) {
  const std::string empty = fits_header_bytes({{"SIMPLE", "T"}, {"BITPIX", "8"}, {"NAXIS", "0"}, {"EXTEND", "T"}});
  const std::string image = fits_header_bytes({{"XTENSION", "'IMAGE   '"},
                                               {"BITPIX", "8"},
                                               {"NAXIS", "2"},
                                               {"NAXIS1", "3"},
                                               {"NAXIS2", "2"},
                                               {"PCOUNT", "0"},
                                               {"GCOUNT", "1"}});
  const auto recording = opened(write(empty + image + fits_block("abcdef", '\0')));
  ASSERT_TRUE(recording);
  EXPECT_EQ(frame_of<std::uint8_t>(*recording)[5], 'f');
}

TEST_F(FitsRecordingTest, RefusesWhatItCannotRead) {
  const auto refuse = [&](const std::string& bytes, const std::string& words) {
    const auto path = write(bytes);
    expect_refused(open_recording(path), path, words);
  };
  const auto with_axes = [](const std::vector<std::string>& axes) {
    Cards cards = {{"SIMPLE", "T"}, {"BITPIX", "8"}, {"NAXIS", std::to_string(axes.size())}};
    for (std::size_t i = 0; i < axes.size(); ++i) cards.push_back({"NAXIS" + std::to_string(i + 1), axes[i]});
    return fits_header_bytes(cards);
  };
  refuse(with_axes({"99999", "99999"}), "no camera has");
  refuse(with_axes({"60000", "60000"}), "larger than any");
  refuse(with_axes({"0", "5"}), "no size");
  refuse(with_axes({"4", "3", "0"}), "no frames");
  refuse(with_axes({"4", "3", "2"}), "no frames");  // the header alone
  refuse(with_axes({"4", "3", "5", "2"}), "no row of frames");
  refuse(with_axes({"9223372036854775807", "9223372036854775807"}), "");
  refuse(fits_file_bytes(32, {4, 3}, {}, value), "BITPIX 32");
  refuse(fits_file_bytes(8, {4, 3}, {{"BSCALE", "0.0"}}, value), "BSCALE 0");
  refuse(fits_header_bytes({{"SIMPLE", "T"}, {"BITPIX", "8"}, {"NAXIS", "0"}}), "holds no image");
  refuse("SIMPLE  = and so on", "cannot be read as FITS");
  refuse("SIMPLE  =" + std::string(9000, 'x'), "cannot be read as FITS");
}

// Found by fuzzing: the library would ask for memory for every column that a header claims, or for a chance number of
// them where another mandatory keyword cannot be read.
TEST_F(FitsRecordingTest, RefusesADamagedTable) {
  const std::string image = fits_file_bytes(8, {4, 3, 2}, {}, value);
  const auto table = [](const std::string& width, const std::string& columns) {
    return fits_header_bytes({{"XTENSION", "'BINTABLE'"},
                              {"BITPIX", "8"},
                              {"NAXIS", "2"},
                              {"NAXIS1", width},
                              {"NAXIS2", "0"},
                              {"PCOUNT", "0"},
                              {"GCOUNT", "1"},
                              {"TFIELDS", columns}});
  };
  const auto refuse = [&](const std::string& width, const std::string& columns) {
    const auto path = write(image + table(width, columns));
    expect_refused(open_recording(path), path, "table with a damaged header");
  };
  for (const char* columns : {"1000", "100000000", "99999999999999999999", "-1", "many"}) refuse("8", columns);
  for (const char* width : {"8$", "-8", "9.5", "99999999999999999999"}) refuse(width, "0");
  EXPECT_TRUE(opened(write(image + table("8", "0"))));
}

TEST_F(FitsRecordingTest, AnUnknownPatternIsSaid) {
  const auto recording = opened(write(fits_file_bytes(8, {4, 3, 2}, {{"BAYERPAT", "'CYYM'"}}, value)));
  ASSERT_TRUE(recording);
  EXPECT_EQ(recording->info().mosaic, Mosaic::mono);
  EXPECT_TRUE(has_note(*recording, "'CYYM' is not known"));
}

class FitsSequenceTest : public FitsRecordingTest {
 protected:
  void write_frame(int number, int width = 4, int bitpix = 16) {
    const Cards cards = {{"BZERO", "32768"},
                         {"BSCALE", "1"},
                         {"ROWORDER", "'TOP-DOWN'"},
                         {"DATE-OBS", "'2026-11-25T21:00:0" + std::to_string(number) + "'"},
                         {"EXPTIME", "0.5"}};
    const auto stored = [&](int, int x, int y) { return value(number, x, y) ^ 0x8000U; };
    write(fits_file_bytes(bitpix, {width, 3}, cards, stored), "f_" + std::to_string(number) + ".fit");
  }
};

TEST_F(FitsSequenceTest, OpensAsAFolderOrByOneFile) {
  for (const int n : {2, 3, 5}) write_frame(n);
  for (const auto& path : {folder_.path(), folder_ / "f_3.fit"}) {
    const auto recording = opened(path);
    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->info().container, "FITS sequence");
    EXPECT_EQ(recording->info().frames, 3U);
    ASSERT_EQ(recording->info().times.size(), 3U);
    EXPECT_EQ(recording->info().times[2].iso(2), "2026-11-25T21:00:05.25Z");
    EXPECT_TRUE(has_note(*recording, "1 numbers are missing from the sequence, first 4"));
    const int numbers[] = {2, 3, 5};
    expect_samples<std::uint16_t>(*recording, [&](int f, int x, int y, int) { return value(numbers[f], x, y); });
  }
}

TEST_F(FitsSequenceTest, RefusesFramesThatDiffer) {
  write_frame(1);
  write_frame(2, 5);
  expect_refused(open_recording(folder_.path()), folder_ / "f_2.fit", "is 5 x 3 pixels but the first frame is 4 x 3");
  write(fits_file_bytes(8, {4, 3}, kTopDown, value), "f_2.fit");
  expect_refused(open_recording(folder_.path()), folder_ / "f_2.fit", "coded otherwise");
}

TEST_F(FitsSequenceTest, RefusesAFrameThatIsCutOff) {
  write_frame(1);
  write_frame(2);
  std::filesystem::resize_file(folder_ / "f_2.fit", 2880 + 4);
  expect_refused(open_recording(folder_.path()), folder_ / "f_2.fit", "cut off");
}

TEST_F(FitsSequenceTest, AFrameThatDisappearsIsAnError) {
  write_frame(1);
  write_frame(2);
  const auto recording = opened(folder_.path());
  ASSERT_TRUE(recording);
  std::filesystem::remove(folder_ / "f_2.fit");
  std::vector<std::byte> frame(24);
  expect_refused(recording->read(1, 1, frame), folder_ / "f_2.fit", "no such file");
}

}  // namespace
}  // namespace halfarc
