// The catalogue of glasses: finding them and their place among colours. Published values:
// tests/published/glass_test.cpp.
#include "halfarc/optics/glass.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace halfarc {
namespace {

using testing::HasSubstr;

TEST(Glass, IsFoundByItsDesignationInCapitalsOrNot) {
  EXPECT_EQ(find_glass("N-BK7").value().name, "N-BK7");
  EXPECT_EQ(find_glass("n-sf11").value().name, "N-SF11");
  EXPECT_EQ(find_glass("Fused Silica").value().name, "fused silica");
  EXPECT_EQ(crown_glass().name, "N-BK7");
}

TEST(Glass, OneThatIsNotThereIsSaidWithThoseThatAre) {
  for (const char* name : {"N-BK", "N-BK77", ""}) {
    const auto missing = find_glass(name);
    ASSERT_FALSE(missing.has_value()) << name;
    EXPECT_EQ(missing.error().kind, ErrorKind::bad_input);
    EXPECT_THAT(missing.error().line(), HasSubstr("F2, N-BK7, N-F2, N-K5, N-SF11, SF11, fused silica"));
  }
}

TEST(Glass, BendsBlueMoreThanRedThroughoutTheTable) {
  for (const Glass& glass : glasses()) {
    for (double nm = 310.0; nm < 1100.0; nm += 10.0) {
      EXPECT_GT(refractive_index(glass, Length::nm(nm)), refractive_index(glass, Length::nm(nm + 10.0))) << glass.name;
    }
  }
}

}  // namespace
}  // namespace halfarc
