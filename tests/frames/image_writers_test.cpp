#include "halfarc/frames/image_writers.h"

#include <gtest/gtest.h>
#include <png.h>
#include <tiffio.h>

#include <bit>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <map>

#include "halfarc/frames/picture_samples.h"
#include "recording_checks.h"
#include "scratch_folder.h"
#include "small_files.h"

namespace halfarc {
namespace {

struct Picture {
  std::vector<Plane<float>> planes;
  std::vector<View<const float>> views;
};

// Value x + 10 y + 100 colour, over 1000.
Picture picture(int colours, int width, int height) {
  Picture p;
  for (int c = 0; c < colours; ++c) {
    Plane<float>& plane = p.planes.emplace_back(width, height);
    for (int y = 0; y < height; ++y) {
      for (int x = 0; x < width; ++x) plane(x, y) = static_cast<float>(x + 10 * y + 100 * c) / 1000.0F;
    }
  }
  for (const auto& plane : p.planes) p.views.push_back(plane.view());
  return p;
}

PictureForm form() {
  PictureForm f;
  f.description = "A planet over Kelderhaven";
  f.taken = *Utc::parse("2026-11-25T21:04:07.5Z");
  f.texts = {{"Comment", "two halves agree to 0.6\""}, {"Observer", "\xC3\x85sa"}};
  return f;
}

unsigned expected_word(int x, int y, int c) {
  return static_cast<unsigned>(std::lround(static_cast<float>(x + 10 * y + 100 * c) / 1000.0F * 65535.0));
}

TEST(PictureSamples, MapBlackToZeroAndWhiteToTheTop) {
  EXPECT_EQ(to_word(0.2F, 0.2F, 0.7F), 0);
  EXPECT_EQ(to_word(0.7F, 0.2F, 0.7F), 65535);
  EXPECT_EQ(to_word(-1.0F, 0.0F, 1.0F), 0);
  EXPECT_EQ(to_word(5.0F, 0.0F, 1.0F), 65535);
  EXPECT_EQ(to_word(0.5F, 0.0F, 1.0F), 32768);
  EXPECT_EQ(to_word(std::numeric_limits<float>::quiet_NaN(), 0.0F, 1.0F), 0);
  EXPECT_EQ(to_word(std::numeric_limits<float>::infinity(), 0.0F, 1.0F), 65535);
}

using Writer = Result<void> (*)(const std::filesystem::path&, std::span<const View<const float>>, const PictureForm&);
struct Format {
  const char* name;
  Writer write;
};
const Format kFormats[] = {{"a.png", write_png_image}, {"a.tiff", write_tiff_image}};

// IEC 61966-2-1: 0.0031308 is where the straight part ends; mid grey 0.2140 becomes 0.5 (from the formula).
TEST(ScreenCurve, FollowsTheStandard) {
  EXPECT_FLOAT_EQ(screen_curve(0.0F), 0.0F);
  EXPECT_NEAR(screen_curve(0.0031308F), 0.04045F, 1e-5F);
  EXPECT_NEAR(screen_curve(0.21404F), 0.5F, 1e-4F);
  EXPECT_NEAR(screen_curve(1.0F), 1.0F, 1e-6F);
}

TEST(ImageWriters, PicturesComeBackAsTheyWere) {
  for (const Format& format : kFormats) {
    for (const int colours : {1, 3}) {
      for (const auto& [width, height] : {std::pair{8, 6}, {7, 5}}) {
        const ScratchFolder folder;
        const Picture p = picture(colours, width, height);
        const auto written = format.write(folder / format.name, p.views, form());
        ASSERT_TRUE(written) << written.error().line();
        const auto recording = opened(folder / format.name);
        ASSERT_TRUE(recording);
        EXPECT_EQ(recording->info().width, width);
        EXPECT_EQ(recording->info().mosaic, colours == 3 ? Mosaic::rgb : Mosaic::mono);
        expect_samples<std::uint16_t>(*recording, [](int, int x, int y, int c) { return expected_word(x, y, c); });
      }
    }
  }
}

TEST(ImageWriters, PicturesRefuseMistakes) {
  for (const Format& format : kFormats) {
    const ScratchFolder folder;
    const auto path = folder / format.name;
    const Picture two = picture(2, 4, 3);
    const Picture one = picture(1, 4, 3);
    PictureForm dark = form();
    dark.black = 1.0F;
    const Picture other = picture(1, 5, 3);
    const std::vector<View<const float>> uneven = {one.views[0], one.views[0], other.views[0]};
    expect_refused(format.write(path, two.views, form()), path, "neither grey nor");
    expect_refused(format.write(path, {}, form()), path, "no planes");
    expect_refused(format.write(path, uneven, form()), path, "different sizes");
    expect_refused(format.write(path, one.views, dark), path, "white level");
    EXPECT_FALSE(format.write(folder / "absent" / format.name, one.views, form()));
    EXPECT_TRUE(std::filesystem::is_empty(folder.path()));
  }
}

// Read with libpng itself: text chunks, a gamma of 1 (the samples are linear), 16 bits.
TEST(ImageWriters, PngCarriesItsText) {
  const ScratchFolder folder;
  const Picture p = picture(3, 8, 6);
  ASSERT_TRUE(write_png_image(folder / "a.png", p.views, form()));
  std::FILE* const file = std::fopen((folder / "a.png").c_str(), "rb");
  ASSERT_NE(file, nullptr);
  png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, nullptr, nullptr, nullptr);
  png_infop info = png_create_info_struct(png);
  png_init_io(png, file);
  png_read_png(png, info, PNG_TRANSFORM_IDENTITY, nullptr);
  EXPECT_EQ(png_get_bit_depth(png, info), 16);
  double gamma = 0.0;
  EXPECT_NE(png_get_gAMA(png, info, &gamma), 0U);
  EXPECT_DOUBLE_EQ(gamma, 1.0);
  png_textp texts = nullptr;
  int count = 0;
  png_get_text(png, info, &texts, &count);
  std::map<std::string, std::string> found;
  for (int i = 0; i < count; ++i) found[texts[i].key] = texts[i].text;
  png_destroy_read_struct(&png, &info, nullptr);
  std::fclose(file);
  EXPECT_EQ(found["Description"], "A planet over Kelderhaven");
  EXPECT_EQ(found["Software"], "halfarc");
  EXPECT_EQ(found["Creation Time"], "2026-11-25T21:04:07.500Z");
  EXPECT_EQ(found["Comment"], "two halves agree to 0.6\"");
  EXPECT_EQ(found["Observer"], "\xC3\x85sa");
}

TEST(ImageWriters, TiffCarriesItsText) {
  const ScratchFolder folder;
  const Picture p = picture(1, 8, 6);
  ASSERT_TRUE(write_tiff_image(folder / "a.tiff", p.views, form()));
  TIFF* const tiff = TIFFOpen((folder / "a.tiff").c_str(), "r");
  ASSERT_NE(tiff, nullptr);
  const auto text = [&](std::uint32_t tag) {
    const char* value = nullptr;
    return TIFFGetField(tiff, tag, &value) != 0 ? std::string(value) : std::string();
  };
  EXPECT_EQ(text(TIFFTAG_SOFTWARE), "halfarc");
  EXPECT_EQ(text(TIFFTAG_DATETIME), "2026:11:25 21:04:07");
  EXPECT_EQ(text(TIFFTAG_IMAGEDESCRIPTION),
            "A planet over Kelderhaven\nComment: two halves agree to 0.6\"\nObserver: \xC3\x85sa");
  TIFFClose(tiff);
}

class FitsImageTest : public ::testing::Test {
 protected:
  FitsImageTest() {
    layers_.push_back({"", colour_.views});
    layers_.push_back({"STACK", colour_.views});
    layers_.push_back({"TRUST", grey_.views});
  }
  Picture colour_ = picture(3, 7, 5);
  Picture grey_ = picture(1, 7, 5);
  std::vector<ImageLayer> layers_;
  std::vector<FitsCard> cards_ = {{"OBJECT", "Mars", ""}, {"PERIOD", 0.62, "[arcsec]"}, {"HISTORY", "stacked"}};
  ScratchFolder folder_;
};

TEST_F(FitsImageTest, ThePrimaryImageComesBackExactly) {
  ASSERT_TRUE(write_fits_image(folder_ / "a.fits", layers_, cards_));
  const auto recording = opened(folder_ / "a.fits");
  ASSERT_TRUE(recording);
  EXPECT_EQ(recording->info().mosaic, Mosaic::rgb);
  EXPECT_TRUE(recording->info().start == std::nullopt);
  expect_samples<float>(*recording,
                        [](int, int x, int y, int c) { return static_cast<float>(x + 10 * y + 100 * c) / 1000.0F; });
}

// Source: FITS 4.0, sections 3.3 and 4.4.1: layout of image extensions, floats big-endian.
TEST_F(FitsImageTest, ExtensionsFollowInOrder) {
  ASSERT_TRUE(write_fits_image(folder_ / "a.fits", layers_, cards_));
  const std::string bytes = get(folder_ / "a.fits");
  ASSERT_EQ(bytes.size(), std::size_t{6} * 2880);  // three headers and three data units of one block
  EXPECT_EQ(bytes.substr(0, 9), "SIMPLE  =");
  EXPECT_NE(bytes.find("OBJECT  = 'Mars"), std::string::npos);
  EXPECT_NE(bytes.find("HISTORY stacked"), std::string::npos);
  EXPECT_EQ(bytes.substr(2880, 8),
            big(std::bit_cast<std::uint32_t>(0.0F), 4) + big(std::bit_cast<std::uint32_t>(0.001F), 4));
  EXPECT_EQ(bytes.substr(std::size_t{2} * 2880, 20), "XTENSION= 'IMAGE   '");
  EXPECT_NE(bytes.substr(std::size_t{2} * 2880, 2880).find("EXTNAME = 'STACK   '"), std::string::npos);
  EXPECT_NE(bytes.substr(std::size_t{4} * 2880, 2880).find("EXTNAME = 'TRUST   '"), std::string::npos);
  EXPECT_NE(bytes.substr(std::size_t{4} * 2880, 240).find("NAXIS   =                    2"), std::string::npos);
}

// Source: fitsverify, the verifier of HEASARC: no error and no warning.
TEST_F(FitsImageTest, PassesTheVerifier) {
  ASSERT_TRUE(write_fits_image(folder_ / "a.fits", layers_, cards_));
  const std::string command =
      "fitsverify -q '" + (folder_ / "a.fits").string() + "' > '" + (folder_ / "log").string() + "'";
  EXPECT_EQ(std::system(command.c_str()), 0) << get(folder_ / "log");
}

TEST_F(FitsImageTest, KeepsNotANumber) {
  colour_.planes[1](2, 3) = std::numeric_limits<float>::quiet_NaN();
  ASSERT_TRUE(write_fits_image(folder_ / "a.fits", layers_, cards_));
  const std::size_t at = 2880 + 4 * static_cast<std::size_t>(35 + 3 * 7 + 2);
  EXPECT_EQ(get(folder_ / "a.fits").substr(at, 2), "\x7F\xC0");
}

TEST_F(FitsImageTest, RefusesMistakes) {
  const auto path = folder_ / "a.fits";
  expect_refused(write_fits_image(path, {}, {}), path, "nothing to write");
  const std::vector<ImageLayer> empty = {ImageLayer{}};
  expect_refused(write_fits_image(path, empty, {}), path, "no planes");
  EXPECT_FALSE(write_fits_image(folder_ / "absent/a.fits", layers_, cards_));
  EXPECT_TRUE(std::filesystem::is_empty(folder_.path()));
}

}  // namespace
}  // namespace halfarc
