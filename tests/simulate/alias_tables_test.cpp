#include "halfarc/simulate/alias_tables.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc {
namespace {

// Drawn with all slots and evenly spread thresholds, the counts are the probabilities themselves.
TEST(AliasTables, GivesEveryValueItsProbability) {
  const std::vector<std::vector<double>> wanted{{1.0}, {0.5, 0.25, 0.125, 0.125}, {0.0, 0.9, 0.0, 0.1, 0.0}};
  const AliasTables tables(wanted, 1000);
  constexpr std::uint32_t draws = 1U << 16;
  for (std::uint32_t t = 0; t < wanted.size(); ++t) {
    std::vector<double> share(8, 0.0);
    for (std::uint32_t i = 0; i < draws; ++i) {
      const std::uint32_t value = tables.draw(t, (i << 16) + 0x7fffU);
      ASSERT_GE(value, 1000U);
      ASSERT_LT(value, 1008U);
      share[value - 1000U] += 1.0 / draws;
    }
    for (std::size_t i = 0; i < share.size(); ++i) {
      const double p = i < wanted[t].size() ? wanted[t][i] : 0.0;
      EXPECT_NEAR(share[i], p, 1e-4) << "table " << t << " value " << i;
    }
  }
}

}  // namespace
}  // namespace halfarc
