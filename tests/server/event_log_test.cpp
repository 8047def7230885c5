#include "halfarc/server/event_log.h"

#include <gtest/gtest.h>

#include <thread>

namespace halfarc::server {
namespace {

using std::chrono::milliseconds;

TEST(EventLog, GivesWhatIsNewerInOrder) {
  EventLog log("b");
  log.publish("clip", "1");
  log.publish("reading", "2");
  const auto all = log.after(0, milliseconds(0));
  ASSERT_EQ(all.size(), 2U);
  EXPECT_EQ(all[1].name, "reading");
  EXPECT_EQ(on_the_wire(all[1], log.id_of(all[1].number)), "id: b-2\nevent: reading\ndata: 2\n\n");
  EXPECT_TRUE(log.after(2, milliseconds(0)).empty());
}

TEST(EventLog, ReplaysAfterAnIdOfItsOwnOnly) {
  EventLog log("b");
  for (int i = 0; i < 3; ++i) log.publish("clip", "{}");
  EXPECT_EQ(log.resume("b-1").number, 1U);
  EXPECT_TRUE(log.resume("b-1").whole);
  for (const char* id : {"", "a-1", "b-4", "b-", "b-1x", "b--1", "b-99999999999999999999999"}) {
    EXPECT_FALSE(log.resume(id).whole) << id;
    EXPECT_EQ(log.resume(id).number, 3U) << id;
  }
}

TEST(EventLog, SaysWhenSomethingIsGone) {
  EventLog log("b");
  for (int i = 0; i < 600; ++i) log.publish("clip", "{}");
  EXPECT_FALSE(log.resume("b-10").whole);
  EXPECT_TRUE(log.resume("b-88").whole);
  EXPECT_FALSE(log.resume("b-87").whole);
}

TEST(EventLog, AJobsProgressTakesTheRoomOfOneEvent) {
  EventLog log("b");
  log.publish("clip", "first");
  for (int i = 0; i < 2000; ++i) log.publish("job", std::to_string(i), "job-1");
  const auto kept = log.after(0, milliseconds(0));
  ASSERT_EQ(kept.size(), 2U);
  EXPECT_EQ(kept[1].data, "1999");
  EXPECT_TRUE(log.resume("b-1").whole);
}

TEST(EventLog, WakesThoseWhoWait) {
  EventLog log("b");
  std::vector<Event> heard;
  std::thread waiting([&] { heard = log.after(0, milliseconds(20'000)); });
  log.publish("clip", "{}");
  waiting.join();
  EXPECT_EQ(heard.size(), 1U);
  std::thread until_closed([&] { heard = log.after(1, milliseconds(20'000)); });
  log.close();
  until_closed.join();
  EXPECT_TRUE(heard.empty());
  EXPECT_TRUE(log.closed());
}

}  // namespace
}  // namespace halfarc::server
