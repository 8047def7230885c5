#include "halfarc/app/arrivals.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace halfarc {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;
using What = FolderChange::What;

constexpr FileState file(std::uint64_t inode, std::uint64_t size, std::int64_t modified, bool readable = true) {
  return {inode, size, modified, readable};
}
constexpr Duration s(double seconds) { return Duration::s(seconds); }

TEST(Arrivals, WhatWasThereBeforeIsNotNew) {
  const Listing before{{"old.ser", file(1, 100, 1)}};
  Arrivals arrivals(before);
  EXPECT_THAT(arrivals.look(before, s(0.0)).ready, IsEmpty());
  EXPECT_THAT(arrivals.look(before, s(100.0)).ready, IsEmpty());
}

TEST(Arrivals, AClosedFileIsReadyOnceWhenItHasStoodStill) {
  Arrivals arrivals({});
  arrivals.changed({What::written, "a.ser"});
  arrivals.changed({What::closed, "a.ser"});
  const Listing there{{"a.ser", file(1, 100, 1)}};
  EXPECT_THAT(arrivals.look(there, s(10.0)).ready, IsEmpty());
  EXPECT_NEAR(arrivals.patience(s(10.0)).s(), 0.2, 1e-9);
  EXPECT_THAT(arrivals.look(there, s(10.19)).ready, IsEmpty());
  EXPECT_TRUE(arrivals.is_due(s(10.21)));
  EXPECT_THAT(arrivals.look(there, s(10.21)).ready, ElementsAre("a.ser"));
  EXPECT_THAT(arrivals.look(there, s(20.0)).ready, IsEmpty());
  EXPECT_NEAR(arrivals.patience(s(20.0)).s(), 1.0, 1e-9);
}

TEST(Arrivals, AFileThatIsBeingWrittenIsNeverReadyHoweverLongItsWriterRests) {
  Arrivals arrivals({});
  arrivals.changed({What::written, "a.ser"});
  EXPECT_THAT(arrivals.look({{"a.ser", file(1, 100, 1)}}, s(0.0)).ready, IsEmpty());
  EXPECT_THAT(arrivals.look({{"a.ser", file(1, 100, 1)}}, s(60.0)).ready, IsEmpty());
  arrivals.changed({What::closed, "a.ser"});
  EXPECT_THAT(arrivals.look({{"a.ser", file(1, 200, 2)}}, s(61.0)).ready, IsEmpty());
  EXPECT_THAT(arrivals.look({{"a.ser", file(1, 200, 2)}}, s(61.3)).ready, ElementsAre("a.ser"));
}

TEST(Arrivals, AnOldFileThatGrowsIsNew) {
  Arrivals arrivals({{"a.ser", file(1, 100, 1)}});
  arrivals.changed({What::written, "a.ser"});
  arrivals.changed({What::closed, "a.ser"});
  const Listing grown{{"a.ser", file(1, 200, 2)}};
  EXPECT_THAT(arrivals.look(grown, s(1.0)).ready, IsEmpty());
  EXPECT_THAT(arrivals.look(grown, s(1.3)).ready, ElementsAre("a.ser"));
}

TEST(Arrivals, AFileOfWhichNothingIsToldMustStandStillForThreeSeconds) {
  Arrivals arrivals({});
  for (int i = 0; i < 10; ++i) {
    const Listing growing{{"a.ser", file(1, 100 + static_cast<std::uint64_t>(i), i)}};
    EXPECT_THAT(arrivals.look(growing, s(i)).ready, IsEmpty());
  }
  const Listing still{{"a.ser", file(1, 109, 9)}};
  EXPECT_THAT(arrivals.look(still, s(11.9)).ready, IsEmpty());
  EXPECT_THAT(arrivals.look(still, s(12.1)).ready, ElementsAre("a.ser"));
}

TEST(Arrivals, AfterALossEveryFileIsOfUnknownState) {
  Arrivals arrivals({});
  arrivals.changed({What::written, "a.ser"});
  arrivals.look({{"a.ser", file(1, 100, 1)}}, s(0.0));
  arrivals.changed({What::lost, ""});
  EXPECT_THAT(arrivals.look({{"a.ser", file(1, 100, 1)}}, s(3.1)).ready, ElementsAre("a.ser"));
}

TEST(Arrivals, ANewNameMakesNothingNewButNewContentDoes) {
  Arrivals arrivals({});
  arrivals.changed({What::closed, "a.ser"});
  arrivals.look({{"a.ser", file(1, 100, 1)}}, s(0.0));
  EXPECT_THAT(arrivals.look({{"a.ser", file(1, 100, 1)}}, s(1.0)).ready, ElementsAre("a.ser"));
  arrivals.changed({What::closed, "b.ser"});
  EXPECT_THAT(arrivals.look({{"b.ser", file(1, 100, 1)}}, s(2.0)).ready, IsEmpty());
  EXPECT_THAT(arrivals.look({{"b.ser", file(1, 100, 1)}}, s(9.0)).ready, IsEmpty());
  arrivals.changed({What::closed, "a.ser"});  // the name is used again
  const Listing both{{"a.ser", file(2, 100, 9)}, {"b.ser", file(1, 100, 1)}};
  EXPECT_THAT(arrivals.look(both, s(10.0)).ready, IsEmpty());
  EXPECT_THAT(arrivals.look(both, s(11.0)).ready, ElementsAre("a.ser"));
}

TEST(Arrivals, AFolderThatCameBackHoldsNothingNewButWhatIsNew) {
  Arrivals arrivals({{"old.ser", file(1, 100, 1)}});
  arrivals.look({}, s(1.0));
  const Listing back{{"new.ser", file(2, 100, 2)}, {"old.ser", file(1, 100, 1)}};
  EXPECT_THAT(arrivals.look(back, s(2.0)).ready, IsEmpty());
  EXPECT_THAT(arrivals.look(back, s(5.5)).ready, ElementsAre("new.ser"));
}

TEST(Arrivals, EmptyFilesWaitAndLockedOnesAreSaidOnce) {
  Arrivals arrivals({});
  arrivals.changed({What::closed, "empty.ser"});
  arrivals.changed({What::closed, "locked.ser"});
  Listing listing{{"empty.ser", file(1, 0, 1)}, {"locked.ser", file(2, 100, 1, false)}};
  arrivals.look(listing, s(0.0));
  auto news = arrivals.look(listing, s(1.0));
  EXPECT_THAT(news.ready, IsEmpty());
  EXPECT_THAT(news.locked, ElementsAre("locked.ser"));
  EXPECT_THAT(arrivals.look(listing, s(2.0)).locked, IsEmpty());
  EXPECT_FALSE(arrivals.is_due(s(2.0)));
  listing["locked.ser"].readable = true;
  EXPECT_THAT(arrivals.look(listing, s(3.0)).ready, ElementsAre("locked.ser"));
}

TEST(Arrivals, SeveralComeInTheOrderOfTheirTimes) {
  Arrivals arrivals({});
  for (const char* name : {"a.ser", "b.ser", "c.ser"}) arrivals.changed({What::closed, name});
  const Listing three{{"a.ser", file(1, 1, 30)}, {"b.ser", file(2, 1, 10)}, {"c.ser", file(3, 1, 20)}};
  arrivals.look(three, s(0.0));
  EXPECT_THAT(arrivals.look(three, s(1.0)).ready, ElementsAre("b.ser", "c.ser", "a.ser"));
}

}  // namespace
}  // namespace halfarc
