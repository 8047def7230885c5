#include "halfarc/app/label_row.h"

#include <gtest/gtest.h>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

TEST(LabelRow, LeavesLabelsAloneThatHaveRoom) {
  EXPECT_EQ(label_middles({{50.0, 40.0}, {150.0, 60.0}}, 0.0, 300.0), (std::vector<double>{50.0, 150.0}));
}

TEST(LabelRow, MovesTwoThatTouchEquallyFar) {
  const auto middles = label_middles({{100.0, 40.0}, {110.0, 40.0}}, 0.0, 300.0);
  EXPECT_DOUBLE_EQ(middles[0], 85.0);
  EXPECT_DOUBLE_EQ(middles[1], 125.0);
}

TEST(LabelRow, KeepsWithinTheEnds) {
  const auto middles = label_middles({{0.0, 40.0}, {300.0, 40.0}}, 0.0, 300.0);
  EXPECT_DOUBLE_EQ(middles[0], 20.0);
  EXPECT_DOUBLE_EQ(middles[1], 280.0);
}

TEST(LabelRow, NoTwoOverlapWhereverTheyWishToStand) {
  Rng random(4);
  for (int turn = 0; turn < 500; ++turn) {
    std::vector<Label> labels;
    double wish = 0.0;
    for (int i = 0; i < 9; ++i) labels.push_back({wish += random.uniform() * 60.0, 20.0 + random.uniform() * 80.0});
    const auto middles = label_middles(labels, 0.0, 900.0);
    for (std::size_t i = 0; i < middles.size(); ++i) {
      EXPECT_GE(middles[i] - labels[i].width / 2.0, -1e-9);
      EXPECT_LE(middles[i] + labels[i].width / 2.0, 900.0 + 1e-9);
      if (i == 0) continue;
      EXPECT_GE(middles[i] - middles[i - 1], (labels[i].width + labels[i - 1].width) / 2.0 - 1e-9);
    }
  }
}

}  // namespace
}  // namespace halfarc
