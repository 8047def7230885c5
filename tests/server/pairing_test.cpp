#include "halfarc/server/pairing.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <set>

#include "scratch_folder.h"

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

TEST(Pairing, ASessionOutlastsTheServerAndItsTokenIsNowhere) {
  const ScratchFolder folder;
  const auto kept = folder / "sessions";
  const std::string token = Pairing("7KQ4M2XR", kept).attempt("7KQ4M2XR", {}).value().token;
  const Pairing again("AAAAAAAA", kept);  // another code after the restart
  EXPECT_TRUE(again.knows(token));
  EXPECT_FALSE(again.knows(std::string(32, '0')));
  std::ifstream in(kept);
  const std::string text{std::istreambuf_iterator<char>(in), {}};
  EXPECT_EQ(text.find(token), std::string::npos);
  EXPECT_FALSE(again.knows(text.substr(0, 64)));  // the hash is no key
  EXPECT_EQ(std::filesystem::status(kept).permissions(), std::filesystem::perms(0600));
}

TEST(Pairing, AFileOfRubbishHasNoSessions) {
  const ScratchFolder folder;
  std::ofstream(folder / "sessions") << "x\n" << std::string(64, 'g') << "\n" << std::string(1 << 20, 'a');
  const Pairing pairing("7KQ4M2XR", folder / "sessions");
  EXPECT_FALSE(pairing.knows("x"));
  EXPECT_FALSE(pairing.knows(""));
}

// Source: FIPS 180-4, the example of "abc" (from memory).
TEST(Pairing, TheHashIsSha256) {
  const ScratchFolder folder;
  std::ofstream(folder / "sessions") << "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad\n";
  EXPECT_TRUE(Pairing("7KQ4M2XR", folder / "sessions").knows("abc"));
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
