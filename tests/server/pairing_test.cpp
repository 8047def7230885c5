#include "halfarc/server/pairing.h"

#include <gtest/gtest.h>

#include <set>

namespace halfarc::server {
namespace {

using std::chrono::seconds;

TEST(Pairing, TakesTheCodeAsPeopleTypeIt) {
  Pairing pairing("7KQ4M2XR");
  const Pairing::Time now{};
  for (const char* typed : {"7KQ4M2XR", "7kq4 m2xr", " 7KQ4-M2XR "}) {
    const auto attempt = pairing.attempt(typed, now).value();
    ASSERT_EQ(attempt.verdict, Pairing::Verdict::paired) << typed;
    EXPECT_EQ(attempt.token.size(), 32U);
    EXPECT_TRUE(pairing.knows(attempt.token));
  }
  EXPECT_FALSE(pairing.knows(""));
  EXPECT_FALSE(pairing.knows(std::string(32, '0')));
}

TEST(Pairing, GuessingIsSlowedDownEvenWithTheRightCode) {
  Pairing pairing("7KQ4M2XR");
  const Pairing::Time now{};
  for (int i = 0; i < 5; ++i) EXPECT_EQ(pairing.attempt("AAAAAAAA", now).value().verdict, Pairing::Verdict::wrong);
  const auto barred = pairing.attempt("7KQ4M2XR", now + seconds(30)).value();
  EXPECT_EQ(barred.verdict, Pairing::Verdict::too_many);
  EXPECT_EQ(barred.wait, seconds(30));
  EXPECT_EQ(pairing.attempt("7KQ4M2XR", now + seconds(60)).value().verdict, Pairing::Verdict::paired);
}

TEST(Pairing, WithoutACodeNobodyPairs) {
  Pairing pairing("");
  EXPECT_EQ(pairing.attempt("", {}).value().verdict, Pairing::Verdict::wrong);
}

TEST(Pairing, OldSessionsGiveWay) {
  Pairing pairing("7KQ4M2XR");
  const std::string first = pairing.attempt("7KQ4M2XR", {}).value().token;
  for (int i = 0; i < 16; ++i) EXPECT_TRUE(pairing.attempt("7KQ4M2XR", {}).has_value());
  EXPECT_FALSE(pairing.knows(first));
}

TEST(Pairing, CodesUseAllTheirBits) {
  EXPECT_EQ(pairing_code(std::string(5, '\0')), "22222222");
  EXPECT_EQ(pairing_code(std::string(5, '\xFF')), "ZZZZZZZZ");
  EXPECT_EQ(spelled_out("7KQ4M2XR"), "7KQ4 M2XR");
  std::set<std::string> codes;
  for (int i = 0; i < 200; ++i) codes.insert(pairing_code(random_bytes(5).value()));
  EXPECT_EQ(codes.size(), 200U);
}

}  // namespace
}  // namespace halfarc::server
