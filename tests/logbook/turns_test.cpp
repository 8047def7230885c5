#include "halfarc/logbook/turns.h"

#include <gtest/gtest.h>

#include "small_logbook.h"

namespace halfarc {
namespace {

TEST(Turns, AreKeptByTimeAndTheLastNotedIsTakenBack) {
  SmallLogbook book;
  const auto first = add_turn(book.database, {0, book.night, evening(5.0), "screw-b", 0.125, "turn"}).value();
  ASSERT_TRUE(add_turn(book.database, {0, book.night, evening(2.0), "focus", -0.25, "turn"}).has_value());

  const auto kept = turns_of(book.database, book.night).value();
  ASSERT_EQ(kept.size(), 2U);
  EXPECT_EQ(kept[0].control, "focus");
  EXPECT_EQ(kept[1].amount, 0.125);
  EXPECT_EQ(turns_after(book.database, first)->size(), 1U);

  EXPECT_EQ(take_back_turn(book.database)->value().control, "focus");
  EXPECT_EQ(take_back_turn(book.database)->value().id, first);
  EXPECT_FALSE(take_back_turn(book.database)->has_value());
  EXPECT_TRUE(turns_of(book.database, book.night)->empty());
}

}  // namespace
}  // namespace halfarc
