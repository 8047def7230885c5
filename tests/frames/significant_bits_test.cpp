#include "halfarc/frames/significant_bits.h"

#include <gtest/gtest.h>

#include <vector>

#include "halfarc/frames/survey.h"

namespace halfarc {
namespace {

SignificantBits found(int said, const std::vector<std::uint16_t>& samples) {
  SampleRange range;
  range.add(samples);
  return significant_bits(said, range);
}

void expect_bits(const SignificantBits& bits, int significant, int zero) {
  EXPECT_EQ(bits.bits, significant) << bits.note;
  EXPECT_EQ(bits.zero_bits, zero) << bits.note;
}

TEST(SignificantBits, TheHeaderStandsWhereTheSamplesFit) {
  expect_bits(found(12, {0, 5, 4095}), 12, 0);
  expect_bits(found(16, {3, 70, 901}), 16, 0);  // dark, but nothing contradicts it
  expect_bits(found(14, {}), 14, 0);
  expect_bits(found(14, {0, 0}), 14, 0);
  EXPECT_TRUE(found(12, {0, 5, 4095}).note.empty());
}

TEST(SignificantBits, StoredInTheTopOfSixteen) {
  expect_bits(found(12, {16, 32, 0xFFF0}), 16, 4);
  expect_bits(found(16, {16, 48, 0xFFF0}), 16, 4);
  EXPECT_NE(found(12, {16, 0xFFF0}).note.find("top of 16"), std::string::npos);
}

TEST(SignificantBits, SamplesBeyondTheHeaderWin) {
  const SignificantBits bits = found(10, {7, 3001});
  expect_bits(bits, 12, 0);
  EXPECT_NE(bits.note.find("header says 10"), std::string::npos);
}

TEST(SignificantBits, APileAtTheTopOfAConverterTells) {
  std::vector<std::uint16_t> clipped(100, 4095);
  clipped.push_back(12);
  expect_bits(found(16, clipped), 12, 0);
  expect_bits(found(16, {4095, 12}), 16, 0);  // one such sample is chance
}

TEST(Survey, LooksAtFirstLastAndBetween) {
  EXPECT_EQ(frames_to_survey(0), (std::vector<std::size_t>{}));
  EXPECT_EQ(frames_to_survey(1), (std::vector<std::size_t>{0}));
  EXPECT_EQ(frames_to_survey(3), (std::vector<std::size_t>{0, 1, 2}));
  EXPECT_EQ(frames_to_survey(1001), (std::vector<std::size_t>{0, 250, 500, 750, 1000}));
}

TEST(Survey, ReadsOnlyTheMiddleOfLargeFrames) {
  RecordingInfo info;
  info.width = 4000;
  info.height = 3000;
  info.sample = Sample::u16;
  info.frames = 1;
  std::size_t read_from = 0;
  std::size_t read_bytes = 0;
  const auto range = survey_range(info, [&](std::size_t, std::size_t skip, std::span<std::byte> into) -> Result<void> {
    read_from = skip;
    read_bytes = into.size();
    return {};
  });
  ASSERT_TRUE(range);
  EXPECT_EQ(read_bytes, std::size_t{8} << 20);
  EXPECT_NEAR(static_cast<double>(read_from) + static_cast<double>(read_bytes) / 2.0, 12e6, 2.0);
}

}  // namespace
}  // namespace halfarc
