#include "halfarc/measure/kind.h"

#include <gtest/gtest.h>

#include "discs.h"

namespace halfarc {
namespace {

ClipKind kind_of_drawn(const test::DrawnDisc& d, const test::Exposure& e) {
  const auto info = test::layout(160, 160, Mosaic::rggb, Sample::u8, 8);
  const std::vector<std::vector<double>> one{d.level > 0.0 ? test::draw(d, 160, 160, 2)
                                                           : std::vector<double>(160 * 160)};
  RecordingIndex index;
  for (std::uint64_t i = 0; i < 12; ++i) index.frames.push_back(index_frame(info, test::expose(info, one, e, Rng(i))));
  grade_sharpness(index.frames);
  return kind_from_index(summarise(info, index));
}

test::DrawnDisc disc(double diameter, double level) {
  test::DrawnDisc d;
  d.x = 79.0;
  d.y = 81.0;
  d.diameter = diameter;
  d.level = level;
  return d;
}

TEST(Kind, IsToldFromTheIndex) {
  EXPECT_EQ(kind_of_drawn(disc(70.0, 120.0), {}), ClipKind::planet);
  EXPECT_EQ(kind_of_drawn(disc(70.0, 900.0), {}), ClipKind::bright);
  EXPECT_EQ(kind_of_drawn(disc(400.0, 120.0), {}), ClipKind::surface);
  EXPECT_EQ(kind_of_drawn(disc(70.0, 0.0), {}), ClipKind::empty);
  EXPECT_EQ(kind_of_drawn(disc(6.0, 900.0), {}), ClipKind::planet);  // planet or star: the fit tells
}

TEST(Kind, NamesGoBothWays) {
  for (const ClipKind kind : {ClipKind::planet, ClipKind::star, ClipKind::surface, ClipKind::bright, ClipKind::empty}) {
    EXPECT_EQ(clip_kind_named(name(kind)), kind);
  }
  EXPECT_FALSE(clip_kind_named("comet"));
}

TEST(Summary, SharesOfSaturatedSamples) {
  const auto info = test::layout(64, 64, Mosaic::rggb, Sample::u8, 8);
  RecordingIndex index;
  FrameIndex f;
  f.found = true;
  f.area = 400.0F;
  f.saturated = {50, 100, 0};
  index.frames.assign(3, f);
  const ClipSummary s = summarise(info, index);
  EXPECT_DOUBLE_EQ(s.saturated[0], 0.5);  // 100 red samples on the object
  EXPECT_DOUBLE_EQ(s.saturated[1], 0.5);  // 200 green ones
  EXPECT_DOUBLE_EQ(s.saturated[2], 0.0);
}

}  // namespace
}  // namespace halfarc
