#include "halfarc/app/reason.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc {
namespace {

const Reason kRatio = {"focal_ratio",
                       "focal ratio",
                       20.0049,
                       2,
                       "",
                       "focal length / opening",
                       {{"focal length", 4061.0, "mm"}, {"opening", 203.0, "mm"}},
                       "definition"};

TEST(Reason, IsToldInFourLines) {
  EXPECT_EQ(reason_words(kRatio),
            "focal ratio: 20.00\n"
            "    = focal length / opening\n"
            "    with focal length 4061 mm, opening 203 mm\n"
            "    source: definition\n");
}

TEST(Reason, ShowsNoDigitsThatMeanNothingAndNoMinusNil) {
  EXPECT_EQ(shown(kRatio), 20.0);
  EXPECT_FALSE(std::signbit(shown({"x", "x", -0.001, 2, "", "", {}, ""})));
}

TEST(Reason, IsFoundByItsField) {
  EXPECT_EQ(find_reason({kRatio}, "focal_ratio")->what, "focal ratio");
  EXPECT_EQ(find_reason({kRatio}, "focal"), nullptr);
}

}  // namespace
}  // namespace halfarc
