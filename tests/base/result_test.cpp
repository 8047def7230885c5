#include "halfarc/base/result.h"

#include <gtest/gtest.h>

#include <memory>

namespace halfarc {
namespace {

TEST(Error, IsOneLine) {
  EXPECT_EQ(bad_input("no frames", "night/a.ser", "record again").line(), "night/a.ser: no frames; record again");
  EXPECT_EQ(bad_input("no frames").line(), "no frames");
  EXPECT_EQ(bad_input("no frames", {}, "record again").line(), "no frames; record again");
  EXPECT_EQ(bad_input("no frames", "a\nb\x1b[2J\t.ser").line(), "a b [2J .ser: no frames");
  EXPECT_EQ(bad_input("rien à lire", "été.ser").line(), "été.ser: rien à lire");
}

// docs/conventions.md: 0 done; 1 could not finish; 2 wrong usage; 3 bad input; 4 refused for safety.
TEST(Error, ExitCodes) {
  EXPECT_EQ(exit_code(ErrorKind::failed), 1);
  EXPECT_EQ(exit_code(ErrorKind::cancelled), 1);
  EXPECT_EQ(exit_code(ErrorKind::usage), 2);
  EXPECT_EQ(exit_code(ErrorKind::bad_input), 3);
  EXPECT_EQ(exit_code(ErrorKind::refused), 4);
  EXPECT_EQ(bad_input("x").kind, ErrorKind::bad_input);
  EXPECT_EQ(failed("x").kind, ErrorKind::failed);
}

Result<int> half(int n) {
  if (n % 2 != 0) return bad_input("odd", std::to_string(n));
  return n / 2;
}

Result<int> quarter(int n) {
  HALFARC_TRY(const int once, half(n));
  HALFARC_TRY(const int twice, half(once));
  return twice;
}

Result<void> need_even(int n) {
  HALFARC_CHECK(quarter(n));
  return {};
}

TEST(Result, HoldsAValue) {
  const auto r = quarter(12);
  ASSERT_TRUE(r);
  EXPECT_EQ(*r, 3);
  EXPECT_EQ(r.value_or(7), 3);
}

TEST(Result, PassesTheFirstErrorUp) {
  const auto r = quarter(6);
  ASSERT_FALSE(r);
  EXPECT_EQ(r.error().what, "odd");
  EXPECT_EQ(r.error().where, "3");
  EXPECT_EQ(r.value_or(7), 7);
}

TEST(Result, OfNothing) {
  EXPECT_TRUE(need_even(8));
  const auto r = need_even(5);
  ASSERT_FALSE(r);
  EXPECT_EQ(r.error().where, "5");
}

TEST(Result, CarriesWhatCanOnlyMove) {
  const auto make = [](bool good) -> Result<std::unique_ptr<int>> {
    if (!good) return failed("no");
    return std::make_unique<int>(5);
  };
  const auto use = [&](bool good) -> Result<int> {
    HALFARC_TRY(const std::unique_ptr<int> p, make(good));
    return *p;
  };
  EXPECT_EQ(use(true).value(), 5);
  EXPECT_EQ(use(false).error().what, "no");
}

TEST(Result, AskingForWhatIsNotThereIsABug) {
  EXPECT_THROW((void)quarter(1).value(), std::bad_variant_access);
  EXPECT_THROW((void)quarter(4).error(), std::bad_variant_access);
  EXPECT_THROW((void)need_even(4).error(), std::bad_optional_access);
}

}  // namespace
}  // namespace halfarc
