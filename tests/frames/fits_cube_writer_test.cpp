#include "halfarc/frames/fits_cube_writer.h"

#include <gtest/gtest.h>

#include <cstdlib>

#include "halfarc/frames/fits_blocks.h"
#include "recording_checks.h"
#include "scratch_folder.h"
#include "small_files.h"

namespace halfarc {
namespace {

CubeForm form(Mosaic mosaic, Sample sample, int width, int height) {
  CubeForm f;
  f.width = width;
  f.height = height;
  f.mosaic = mosaic;
  f.sample = sample;
  f.bits = sample == Sample::u8 ? 8 : sample == Sample::u16 ? 12 : 1;
  f.start = *Utc::parse("2026-11-25T21:00:00.25Z");
  f.exposure = Duration::ms(8.0);
  return f;
}

template <class T>
std::vector<T> ramp(const CubeForm& f, int frame) {
  std::vector<T> samples;
  for (int i = 0; i < f.width * f.height * samples_per_pixel(f.mosaic); ++i) {
    samples.push_back(static_cast<T>(static_cast<T>(3 * i + 7 * frame) / (sizeof(T) == 4 ? T{100} : T{1})));
  }
  return samples;
}

Utc time_of(const CubeForm& f, int frame) { return *f.start + Duration::s(0.004 + 0.01 * frame); }

template <class T>
void write_cube(const std::filesystem::path& path, const CubeForm& f, int frames,
                std::span<const FitsCard> cards = {}) {
  auto writer = FitsCubeWriter::create(path, f, cards);
  ASSERT_TRUE(writer) << writer.error().line();
  for (int i = 0; i < frames; ++i) {
    const std::vector<T> frame = ramp<T>(f, i);
    const Utc time = time_of(f, i);
    const auto appended = writer->append(std::as_bytes(std::span(frame)), std::span(&time, 1));
    ASSERT_TRUE(appended) << appended.error().line();
  }
  EXPECT_EQ(writer->frames(), static_cast<std::size_t>(frames));
  EXPECT_FALSE(std::filesystem::exists(path));
  const auto finished = writer->finish();
  ASSERT_TRUE(finished) << finished.error().line();
}

template <class T>
void expect_round_trip(Mosaic mosaic, Sample sample, int width, int height) {
  const ScratchFolder folder;
  const CubeForm f = form(mosaic, sample, width, height);
  write_cube<T>(folder / "a.fits", f, 4);
  const auto recording = opened(folder / "a.fits");
  ASSERT_TRUE(recording);
  const RecordingInfo& info = recording->info();
  EXPECT_EQ(info.mosaic, mosaic);
  EXPECT_EQ(info.sample, sample);
  EXPECT_EQ(info.bits, f.bits);
  EXPECT_EQ(info.start, f.start);
  EXPECT_TRUE(info.notes.empty()) << notes_of(*recording);
  ASSERT_EQ(info.times.size(), 4U);
  for (int i = 0; i < 4; ++i) {
    EXPECT_EQ(info.times[static_cast<std::size_t>(i)], time_of(f, i));
    EXPECT_EQ(frame_of<T>(*recording, static_cast<std::size_t>(i)), ramp<T>(f, i));
  }
}

TEST(FitsCubeWriter, RoundTripOfEverySampleAndMosaic) {
  for (const auto& [width, height] : {std::pair{8, 6}, {7, 5}}) {
    for (const Mosaic m : {Mosaic::mono, Mosaic::rggb, Mosaic::grbg, Mosaic::gbrg, Mosaic::bggr, Mosaic::rgb}) {
      expect_round_trip<std::uint8_t>(m, Sample::u8, width, height);
      expect_round_trip<std::uint16_t>(m, Sample::u16, width, height);
      expect_round_trip<float>(m, Sample::f32, width, height);
    }
  }
}

TEST(FitsCubeWriter, ThreeMonoFramesStayFrames) {
  const ScratchFolder folder;
  write_cube<std::uint16_t>(folder / "a.fits", form(Mosaic::mono, Sample::u16, 4, 3), 3);
  EXPECT_EQ(opened(folder / "a.fits")->info().frames, 3U);
}

std::string card(const std::string& bytes, const std::string& key) {
  std::string padded = key;
  padded.resize(8, ' ');
  for (std::size_t at = 0; at + 80 <= bytes.size(); at += 80) {
    if (bytes.compare(at, 8, padded) == 0) return bytes.substr(at, 80);
  }
  return {};
}

// Source: FITS 4.0 sections 3.1-3.3 (blocks of 2880), 4.2 (fixed format), 4.4.1 (order of the mandatory keywords).
TEST(FitsCubeWriter, BytesAreAsTheStandardSays) {
  const ScratchFolder folder;
  write_cube<std::uint16_t>(folder / "a.fits", form(Mosaic::rggb, Sample::u16, 64, 48), 10);
  const std::string bytes = get(folder / "a.fits");
  EXPECT_EQ(bytes.size() % 2880, 0U);
  const char* const order[] = {"SIMPLE  =", "BITPIX  =", "NAXIS   =", "NAXIS1  =", "NAXIS2  =", "NAXIS3  ="};
  for (std::size_t i = 0; i < 6; ++i) EXPECT_EQ(bytes.substr(80 * i, 9), order[i]);
  EXPECT_EQ(bytes[29], 'T');
  EXPECT_EQ(card(bytes, "BITPIX").substr(10, 20), "                  16");
  EXPECT_EQ(card(bytes, "NAXIS3").substr(10, 20), "                  10");
  EXPECT_EQ(card(bytes, "BZERO").substr(10, 20), "               32768");
  EXPECT_EQ(card(bytes, "BAYERPAT").substr(10, 10), "'RGGB    '");
  EXPECT_EQ(card(bytes, "ROWORDER").substr(10, 10), "'TOP-DOWN'");
  EXPECT_EQ(card(bytes, "DATE-OBS").substr(10, 28), "'2026-11-25T21:00:00.250000'");
  for (std::size_t i = 0; i < 2880; ++i) {
    ASSERT_GE(bytes[i], 0x20);
    ASSERT_LE(bytes[i], 0x7E);
  }
  const std::size_t data = 2880;
  EXPECT_EQ(bytes.substr(data, 4), big(0x8000, 2) + big(0x8003, 2));  // 0 and 3
  const std::size_t length = 64 * 48 * 2 * 10;
  const std::size_t padded = (length + 2879) / 2880 * 2880;
  EXPECT_EQ(bytes.substr(data + length, padded - length), std::string(padded - length, '\0'));
  EXPECT_EQ(bytes.substr(data + padded, 20), "XTENSION= 'BINTABLE'");
}

// Source: FITS 4.0, 3.3: a 640 x 480 x 100 cube of 16-bit samples has 61 440 000 bytes, filled up to 21 334 blocks with
// 1920 zero bytes.
TEST(FitsCubeWriter, PaddingOfACube) {
  EXPECT_EQ(fits_padding(61'440'000).size(), 1920U);
  EXPECT_EQ((61'440'000 + fits_padding(61'440'000).size()) / 2880, 21'334U);
  EXPECT_EQ(fits_padding(2880).size(), 0U);
  EXPECT_EQ(fits_padding(0).size(), 0U);
}

// Source: fitsverify, the verifier of HEASARC, from the package of that name: no error and no warning.
TEST(FitsCubeWriter, PassesTheVerifier) {
  const ScratchFolder folder;
  const std::vector<FitsCard> cards = {
      {"XPIXSZ", 3.45, "[um] pixel"},
      {"OBJECT", "a name with a 'quote', \xC3\xA9 and more than fits on one card of eighty columns", ""},
      {"SEED", std::int64_t{12}, ""},
      {"SIMULATD", true, ""},
      {"HISTORY", "made for a test"}};
  write_cube<std::uint16_t>(folder / "a.fits", form(Mosaic::rgb, Sample::u16, 7, 5), 3, cards);
  write_cube<float>(folder / "b.fits", form(Mosaic::mono, Sample::f32, 7, 5), 2, cards);
  for (const char* name : {"a.fits", "b.fits"}) {
    const std::string command =
        "fitsverify -q '" + (folder / name).string() + "' > '" + (folder / "log").string() + "'";
    EXPECT_EQ(std::system(command.c_str()), 0) << get(folder / "log");
  }
}

TEST(FitsCubeWriter, WithoutTimesThereIsNoTable) {
  const ScratchFolder folder;
  const CubeForm f = form(Mosaic::mono, Sample::u8, 4, 3);
  auto writer = FitsCubeWriter::create(folder / "a.fits", f);
  ASSERT_TRUE(writer);
  std::vector<std::byte> two(24);
  ASSERT_TRUE(writer->append(two));
  ASSERT_TRUE(writer->finish());
  const auto recording = opened(folder / "a.fits");
  EXPECT_EQ(recording->info().frames, 2U);
  EXPECT_TRUE(recording->info().times.empty());
}

TEST(FitsCubeWriter, RefusesMistakes) {
  const ScratchFolder folder;
  const CubeForm f = form(Mosaic::mono, Sample::u8, 4, 3);
  auto writer = FitsCubeWriter::create(folder / "a.fits", f);
  ASSERT_TRUE(writer);
  expect_refused(writer->finish(), folder / "a.fits", "no frames");
  std::vector<std::byte> two(24);
  const Utc time = *f.start;
  expect_refused(writer->append(std::span(two).first(23)), folder / "a.fits", "part of a frame");
  expect_refused(writer->append(two, std::span(&time, 1)), folder / "a.fits", "some frames only");
  ASSERT_TRUE(writer->append(two));
  expect_refused(writer->append(std::span(two).first(12), std::span(&time, 1)), folder / "a.fits", "some frames only");
  const std::vector<FitsCard> bad = {{"lower", std::int64_t{1}, ""}};
  EXPECT_FALSE(FitsCubeWriter::create(folder / "b.fits", f, bad));
  EXPECT_FALSE(FitsCubeWriter::create(folder / "absent/b.fits", f));
  EXPECT_FALSE(FitsCubeWriter::create(folder / "b.fits", CubeForm{}));
  EXPECT_FALSE(std::filesystem::exists(folder / "b.fits"));
}

TEST(FitsCubeWriter, LeavesNothingWhenGivenUp) {
  const ScratchFolder folder;
  {
    auto writer = FitsCubeWriter::create(folder / "a.fits", form(Mosaic::mono, Sample::u8, 4, 3));
    ASSERT_TRUE(writer);
    ASSERT_TRUE(writer->append(std::vector<std::byte>(12)));
  }
  EXPECT_TRUE(std::filesystem::is_empty(folder.path()));
}

// As a capture program writes: there from the start, read half-way as far as it goes, in the end the same bytes.
TEST(FitsCubeWriter, AGrowingCubeCanBeReadWhileItGrows) {
  const ScratchFolder folder;
  const CubeForm f = form(Mosaic::rggb, Sample::u16, 16, 12);
  write_cube<std::uint16_t>(folder / "whole.fits", f, 3);
  auto writer = FitsCubeWriter::create_growing(folder / "grows.fits", f, 3);
  ASSERT_TRUE(writer) << writer.error().line();
  for (int i = 0; i < 3; ++i) {
    const std::vector<std::uint16_t> frame = ramp<std::uint16_t>(f, i);
    const Utc time = time_of(f, i);
    ASSERT_TRUE(writer->append(std::as_bytes(std::span(frame)), std::span(&time, 1)));
    const auto recording = opened(folder / "grows.fits");
    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->info().frames, static_cast<std::size_t>(i + 1));
  }
  ASSERT_TRUE(writer->finish());
  EXPECT_EQ(get(folder / "grows.fits"), get(folder / "whole.fits"));
}

TEST(FitsCubeWriter, AGrowingCubeThatIsGivenUpIsRemoved) {
  const ScratchFolder folder;
  {
    auto writer = FitsCubeWriter::create_growing(folder / "a.fits", form(Mosaic::mono, Sample::u8, 16, 12), 3);
    ASSERT_TRUE(writer);
    EXPECT_TRUE(std::filesystem::exists(folder / "a.fits"));
  }
  EXPECT_FALSE(std::filesystem::exists(folder / "a.fits"));
}

TEST(FitsCubeWriter, SameInputSameBytes) {
  const ScratchFolder folder;
  write_cube<std::uint16_t>(folder / "a.fits", form(Mosaic::rggb, Sample::u16, 9, 5), 3);
  write_cube<std::uint16_t>(folder / "b.fits", form(Mosaic::rggb, Sample::u16, 9, 5), 3);
  EXPECT_EQ(get(folder / "a.fits"), get(folder / "b.fits"));
}

}  // namespace
}  // namespace halfarc
