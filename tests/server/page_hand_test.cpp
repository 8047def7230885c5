#include "halfarc/server/page_hand.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <fstream>

#include "halfarc/app/clip_shelf.h"
#include "halfarc/app/log_asked.h"
#include "scratch_folder.h"

namespace halfarc::server {
namespace {

const Patience kPatience{Duration::s(4.0), Duration::s(1.0), Duration::s(0.5)};

struct Game {
  Game() {
    clip.recording = folder / "clip.fits";
    std::ofstream(clip.recording) << "frames";
    std::filesystem::create_directories(folder / "checks");
  }
  // What the desk keeps of a clip that it has read (app/clip_shelf.h).
  void read(const std::string& advice) {
    const ShelvedClip shelved = clip_at(clip.recording).value();
    std::ofstream(folder / "checks" / (shelved.id + ".json"))
        << fmt::format(R"({{"of": "{} {} {}", "check": {{"advice": {}}}}})", shelved.name, shelved.bytes,
                       shelved.written.unix_ns(), advice);
  }
  TurnSource hand(std::function<void(int)> acts) {
    return page_hand(folder.path(), kPatience, [this, acts = std::move(acts)](Duration) -> Result<void> {
      acts(++looks);
      return {};
    });
  }
  ScratchFolder folder;
  PlayedClip clip;
  int looks = 0;
};

TEST(PageHand, AskedForATurnItWaitsForThePage) {
  Game game;
  const TurnSource hand = game.hand([&](int look) {
    if (look == 2) game.read(R"([{"control": "screw-a", "turn": 0.0625}])");
    if (look != 5) return;
    EXPECT_TRUE(turned_asked(game.folder.path(), "screw-a", "1/16 cw", Utc::now()).has_value());
  });
  EXPECT_EQ(hand(game.clip).value(), (std::vector<Turned>{{Control::screw_a, 0.0625}}));
  EXPECT_GE(game.looks, 5);
}

TEST(PageHand, WhatIsToBeLeftAloneIsNotWaitedFor) {
  Game game;
  game.read(R"([{"control": "focus", "turn": 0}])");
  EXPECT_TRUE(game.hand([](int) {})(game.clip)->empty());
  EXPECT_EQ(game.looks, 0);
}

TEST(PageHand, AClipThatIsNeverReadDoesNotHoldTheNight) {
  Game game;
  EXPECT_TRUE(game.hand([](int) {})(game.clip)->empty());
  EXPECT_EQ(game.looks, 120);  // a minute
}

}  // namespace
}  // namespace halfarc::server
