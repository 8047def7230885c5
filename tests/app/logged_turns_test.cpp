#include "halfarc/app/logged_turns.h"

#include <gtest/gtest.h>

#include "halfarc/logbook/nights.h"
#include "halfarc/logbook/schema.h"
#include "halfarc/logbook/turns.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

const Patience kPatience{Duration::s(5.0), Duration::s(2.0), Duration::s(0.5)};

void note(const std::filesystem::path& logbook, const char* control, double amount) {
  Result<Database> database = open_logbook(logbook, Access::write);
  ASSERT_TRUE(database) << database.error().line();
  const auto night = put_night(*database, "2027-02-14", {});
  ASSERT_TRUE(night);
  ASSERT_TRUE(add_turn(*database, {0, *night, Utc::unix_s(1.8e9), control, amount, "turn"}));
}

const PlayedClip kClip;

// The owner of these tests acts at a certain look into the logbook.
struct Owner {
  int looks = 0;
  std::function<void(int)> acts = [](int) {};
  Pause pause() {
    return [this](Duration) -> Result<void> {
      acts(looks++);
      return {};
    };
  }
};

TEST(LoggedTurns, WhatIsNotedAfterTheClipIsTheAnswer) {
  const ScratchFolder folder;
  const auto logbook = folder / "logbook.db";
  note(logbook, "focus", 0.5);  // before the rehearsal
  Owner owner;
  const TurnSource source = turns_of_logbook(logbook, kPatience, owner.pause());
  owner.acts = [&](int look) {
    if (look == 2) note(logbook, "screw-b", 0.125);
    if (look == 4) note(logbook, "screw-c", -0.0625);
  };
  const auto turns = source(kClip);
  ASSERT_TRUE(turns) << turns.error().line();
  EXPECT_EQ(*turns, (std::vector<Turned>{{Control::screw_b, 0.125}, {Control::screw_c, -0.0625}}));
  // The next clip does not see them again.
  owner.acts = [](int) {};
  EXPECT_TRUE(source(kClip)->empty());
}

TEST(LoggedTurns, PatienceRunsOutAndALogbookMayBeMissing) {
  const ScratchFolder folder;
  Owner owner;
  const TurnSource source = turns_of_logbook(folder / "logbook.db", kPatience, owner.pause());
  const auto turns = source(kClip);
  ASSERT_TRUE(turns);
  EXPECT_TRUE(turns->empty());
  EXPECT_EQ(owner.looks, 10);  // five seconds by halves
}

TEST(LoggedTurns, ATurnOfNothingGoesOnAtOnce) {
  const ScratchFolder folder;
  const auto logbook = folder / "logbook.db";
  Owner owner;
  const TurnSource source = turns_of_logbook(logbook, kPatience, owner.pause());
  owner.acts = [&](int look) {
    if (look == 1) note(logbook, "focus", 0.0);
  };
  const auto turns = source(kClip);
  ASSERT_TRUE(turns);
  EXPECT_TRUE(turns->empty());
  EXPECT_EQ(owner.looks, 2);
}

TEST(LoggedTurns, StoppedAsAskedAndUnknownControlsAreErrors) {
  const ScratchFolder folder;
  const auto logbook = folder / "logbook.db";
  const TurnSource stopped = turns_of_logbook(logbook, kPatience, [](Duration) -> Result<void> { return cancelled(); });
  EXPECT_FALSE(stopped(kClip));
  Owner owner;
  const TurnSource source = turns_of_logbook(logbook, kPatience, owner.pause());
  note(logbook, "brake", 1.0);
  const auto turns = source(kClip);
  ASSERT_FALSE(turns);
  EXPECT_NE(turns.error().line().find("brake"), std::string::npos);
}

}  // namespace
}  // namespace halfarc
