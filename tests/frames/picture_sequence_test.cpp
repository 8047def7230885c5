#include "halfarc/frames/picture_sequence.h"

#include <gtest/gtest.h>

#include "halfarc/frames/picture_file.h"
#include "halfarc/frames/png_picture.h"
#include "halfarc/frames/tiff_messages.h"
#include "halfarc/frames/tiff_picture.h"
#include "recording_checks.h"
#include "scratch_folder.h"
#include "small_files.h"
#include "small_pictures.h"

namespace halfarc {
namespace {

unsigned value(int f, int x, int y, int c) { return static_cast<unsigned>(60 * f + 3 * x + 7 * y + 40 * c) % 256; }
unsigned deep(int f, int x, int y, int c) { return 257 * value(f, x, y, c); }

SmallPicture like(const std::function<void(SmallPicture&)>& change) {
  SmallPicture picture;
  change(picture);
  return picture;
}

enum class Kind { png, tiff };

class PictureSequenceTest : public ::testing::Test {
 protected:
  std::filesystem::path write(Kind kind, const SmallPicture& picture, const SampleAt& sample, int number = 1) {
    const auto path = folder_ / ("p_" + std::to_string(number) + (kind == Kind::png ? ".png" : ".tif"));
    if (kind == Kind::png) write_small_png(path, picture, sample);
    if (kind == Kind::tiff) write_small_tiff(path, picture, sample);
    return path;
  }
  ScratchFolder folder_;
};

TEST_F(PictureSequenceTest, GreyAndColourEightAndSixteenBitsEvenAndOdd) {
  for (const Kind kind : {Kind::png, Kind::tiff}) {
    for (const int colours : {1, 2, 3, 4}) {
      for (const int bits : {8, 16}) {
        for (const auto& [width, height] : {std::pair{8, 6}, {7, 5}}) {
          const SmallPicture p = like([&, w = width, h = height](SmallPicture& s) {
            s.width = w;
            s.height = h;
            s.colours = colours;
            s.bits = bits;
          });
          const auto recording = opened(write(kind, p, bits == 8 ? value : deep));
          ASSERT_TRUE(recording);
          EXPECT_EQ(recording->info().mosaic, colours >= 3 ? Mosaic::rgb : Mosaic::mono);
          EXPECT_EQ(recording->info().bits, bits);
          EXPECT_EQ(recording->info().height, height);
          if (bits == 8) expect_samples<std::uint8_t>(*recording, value);
          if (bits == 16) expect_samples<std::uint16_t>(*recording, deep);
        }
      }
    }
  }
}

TEST_F(PictureSequenceTest, AFolderIsARecording) {
  for (const Kind kind : {Kind::png, Kind::tiff}) {
    for (const int n : {1, 2, 4}) {
      write(
          kind, SmallPicture{}, [&](int, int x, int y, int c) { return value(n, x, y, c); }, n);
    }
    const auto path = folder_ / (kind == Kind::png ? "p_2.png" : "p_2.tif");
    const auto recording = opened(path);
    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->info().container, kind == Kind::png ? "PNG sequence" : "TIFF sequence");
    EXPECT_EQ(recording->info().frames, 3U);
    EXPECT_TRUE(has_note(*recording, "1 numbers are missing from the sequence, first 3"));
    EXPECT_TRUE(has_note(*recording, "no frame times"));
    const int numbers[] = {1, 2, 4};
    expect_samples<std::uint8_t>(*recording, [&](int f, int x, int y, int c) { return value(numbers[f], x, y, c); });
  }
}

TEST_F(PictureSequenceTest, PicturesOfAnotherSizeAreNamed) {
  for (const Kind kind : {Kind::png, Kind::tiff}) {
    write(kind, SmallPicture{}, value, 1);
    const auto wide = write(kind, like([](SmallPicture& s) { s.width = 9; }), value, 2);
    expect_refused(open_recording(wide), wide, "is 9 x 6 pixels but the first frame is 8 x 6");
    const auto coloured = write(kind, like([](SmallPicture& s) { s.colours = 3; }), value, 2);
    expect_refused(open_recording(coloured), coloured, "other colours or bits");
  }
}

TEST_F(PictureSequenceTest, PngSignificantBits) {
  const auto path = write(Kind::png, like([](SmallPicture& s) {
                            s.bits = 16;
                            s.significant_bits = 12;
                          }),
                          value);
  EXPECT_EQ(opened(path)->info().bits, 12);
}

TEST_F(PictureSequenceTest, PngInterlacedAndFewBits) {
  const auto interlaced = write(Kind::png, like([](SmallPicture& s) {
                                  s.interlaced = true;
                                  s.colours = 3;
                                  s.width = 13;
                                  s.height = 9;
                                }),
                                value);
  expect_samples<std::uint8_t>(*opened(interlaced), value);
  for (const int bits : {1, 2, 4}) {
    const unsigned top = (1U << bits) - 1;
    const auto few = [&](int, int x, int y, int) { return static_cast<unsigned>(x + y) % (top + 1); };
    const auto path = write(Kind::png, like([&](SmallPicture& s) { s.bits = bits; }), few);
    expect_samples<std::uint8_t>(*opened(path),
                                 [&](int f, int x, int y, int c) { return few(f, x, y, c) * 255 / top; });
  }
}

TEST_F(PictureSequenceTest, TiffPlanesCompressionAndByteOrder) {
  for (const char* mode : {"wl", "wb"}) {
    for (const int compression : {COMPRESSION_NONE, COMPRESSION_LZW, COMPRESSION_ADOBE_DEFLATE, COMPRESSION_PACKBITS}) {
      for (const bool planes : {false, true}) {
        const auto path = write(Kind::tiff, like([&](SmallPicture& s) {
                                  s.mode = mode;
                                  s.compression = static_cast<std::uint16_t>(compression);
                                  s.planes = planes;
                                  s.colours = 3;
                                  s.bits = 16;
                                }),
                                deep);
        expect_samples<std::uint16_t>(*opened(path), deep);
      }
    }
  }
}

// Source: TIFF 6.0, tag 274: 1 top-left, 2 top-right, 3 bottom-right, 4 bottom-left is where row 0, column 0 belongs.
TEST_F(PictureSequenceTest, TiffOneBrightPixelInEveryOrientation) {
  for (const auto& [width, height] : {std::pair{8, 6}, {7, 5}}) {
    for (std::uint16_t orientation = 1; orientation <= 4; ++orientation) {
      const auto bright = [](int, int x, int y, int) { return x == 2 && y == 1 ? 200U : 0U; };
      const auto path = write(Kind::tiff, like([&, w = width, h = height](SmallPicture& s) {
                                s.width = w;
                                s.height = h;
                                s.orientation = orientation;
                              }),
                              bright);
      const auto recording = opened(path);
      ASSERT_TRUE(recording);
      const int x = orientation == 2 || orientation == 3 ? width - 1 - 2 : 2;
      const int y = orientation == 3 || orientation == 4 ? height - 1 - 1 : 1;
      EXPECT_EQ(frame_of<std::uint8_t>(*recording)[static_cast<std::size_t>(y * width + x)], 200) << orientation;
    }
  }
}

TEST_F(PictureSequenceTest, TiffWhiteIsZero) {
  const auto path = write(Kind::tiff, like([](SmallPicture& s) { s.white_is_zero = true; }), value);
  expect_samples<std::uint8_t>(*opened(path), [](int f, int x, int y, int c) { return 255 - value(f, x, y, c); });
}

TEST_F(PictureSequenceTest, TiffCodingsItDoesNotRead) {
  const auto sideways = write(Kind::tiff, like([](SmallPicture& s) { s.orientation = 6; }), value);
  expect_refused(open_recording(sideways), sideways, "lying on its side");
  const auto deep32 = write(Kind::tiff, like([](SmallPicture& s) { s.bits = 32; }), value);
  expect_refused(open_recording(deep32), deep32, "samples of 32 bits");
}

TEST_F(PictureSequenceTest, DamagedPicturesAreNamed) {
  for (const Kind kind : {Kind::png, Kind::tiff}) {
    const auto path = write(kind, like([](SmallPicture& s) {
                              s.width = 60;
                              s.height = 50;
                              s.bits = 16;
                              s.mode = "wl";
                            }),
                            deep);
    const std::string good = get(path);
    const char* const words = kind == Kind::png ? "cannot be read as PNG" : "cannot be read as TIFF";
    put(path, good.substr(0, good.size() / 2));
    expect_refused(open_recording(path), path, words);
    put(path, good.substr(0, 12));
    expect_refused(open_recording(path), path, words);
    put(path, good);
    const auto recording = opened(path);
    ASSERT_TRUE(recording);
    std::filesystem::resize_file(path, 20);
    std::vector<std::byte> frame(recording->info().bytes_per_frame());
    expect_refused(recording->read(0, 1, frame), path, words);
  }
}

TEST_F(PictureSequenceTest, APictureThatChangesUnderneathIsAnError) {
  for (const Kind kind : {Kind::png, Kind::tiff}) {
    const auto path = write(kind, SmallPicture{}, value);
    const auto recording = opened(path);
    ASSERT_TRUE(recording);
    write(kind, like([](SmallPicture& s) {
            s.width = 9;
            s.height = 9;
          }),
          value);
    std::vector<std::byte> frame(48);
    expect_refused(recording->read(0, 1, frame), path, "another picture");
  }
}

TEST_F(PictureSequenceTest, AbsurdPngSizeIsRefused) {
  const auto path = write(Kind::png, SmallPicture{}, value);
  std::string bytes = get(path);
  bytes.replace(16, 4, big(0x7FFFFFFF, 4));
  put(path, bytes);
  expect_refused(open_recording(path), path, "cannot be read as PNG");
}

TEST_F(PictureSequenceTest, AMixedUpNameIsRefused) {
  put(folder_ / "x_1.png", "this is a text");
  expect_refused(open_recording(folder_ / "x_1.png"), folder_ / "x_1.png", "not a recording halfarc reads");
  expect_refused(open_recording(folder_.path()), folder_ / "x_1.png", "not a recording halfarc reads");
}

}  // namespace
}  // namespace halfarc
