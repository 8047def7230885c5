#include "halfarc/app/train_document.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "halfarc/app/home.h"
#include "halfarc/app/rig_file.h"

namespace halfarc {
namespace {

TrainAnswer of_jupiter() {
  TrainRequest request;
  request.rig = example_rig();
  request.remove = {"UV/IR cut"};
  request.target.emplace();
  request.target->where.body = sky::Body::jupiter;
  request.target->where.site = example_site().site;
  request.target->where.utc = *Utc::parse("2026-11-26T05:00Z");
  const auto answer = solve_train(request);
  EXPECT_TRUE(answer) << answer.error().line();
  return answer ? *answer : TrainAnswer{};
}

TEST(TrainDocument, EveryNumberOfTheDocumentIsThatOfItsReason) {
  const TrainAnswer answer = of_jupiter();
  const auto document = nlohmann::json::parse(train_json(answer));
  const auto flat = document.flatten();  // outlives the loop's items()
  for (const auto& [path, value] : flat.items()) {
    if (!value.is_number() || path.starts_with("/why/") || path.starts_with("/exposure/region_px/")) continue;
    if (path.ends_with("/length_mm") || path.ends_with("/glass_mm") || path.ends_with("/clear_mm")) continue;
    const Reason* reason = find_reason(answer.why, path.substr(1));
    ASSERT_NE(reason, nullptr) << path;
    EXPECT_EQ(value.get<double>(), shown(*reason)) << path;
  }
}

TEST(TrainDocument, HasTheBlocksOfTheContract) {
  const auto document = nlohmann::json::parse(train_json(of_jupiter()));
  for (const char* block : {"parts", "change", "dispersion", "prisms", "focus", "exposure", "smear", "why"})
    EXPECT_TRUE(document.contains(block)) << block;
  TrainRequest plain;
  plain.rig = *parse_rig_file("", "rig.toml");
  const auto bare = nlohmann::json::parse(train_json(*solve_train(plain)));
  for (const char* block : {"change", "dispersion", "prisms", "exposure", "smear", "target"})
    EXPECT_FALSE(bare.contains(block)) << block;
}

TEST(TrainDocument, TheWordsNameEachPartAndWhatToDo) {
  const TrainAnswer answer = of_jupiter();
  const std::string words = train_words(answer);
  for (const char* word : {"visual back", "amplifier", "corrector", "colour camera", "turn the knob", "the way that",
                           "Dispersion", "both levers at", "before the amplifier instead", "Exposure", "longest run"})
    EXPECT_NE(words.find(word), std::string::npos) << word << "\n" << words;
}

TEST(TrainDocument, ExplainsEachReason) {
  const TrainAnswer answer = of_jupiter();
  const std::string words = explain_words(answer);
  for (const Reason& reason : answer.why) EXPECT_NE(words.find(reason_words(reason)), std::string::npos);
}

}  // namespace
}  // namespace halfarc
