#include "halfarc/logbook/recordings.h"

#include <gtest/gtest.h>

#include "small_logbook.h"

namespace halfarc {
namespace {

TEST(Recordings, StandOnceAndAreBroughtUpToDate) {
  SmallLogbook book;
  RecordingRow row{0, book.night, std::nullopt, "mars.ser", evening(0.0), std::nullopt, "planet", "mars", 100, 96, 64};
  const auto first = put_recording(book.database, row).value();
  row.frames = 160;
  row.end = evening(1.0);
  row.kind = row.target = "";
  EXPECT_EQ(put_recording(book.database, row).value(), first);

  const auto kept = recordings_of(book.database, book.night).value();
  ASSERT_EQ(kept.size(), 1U);
  EXPECT_EQ(kept[0].id, first);
  EXPECT_EQ(kept[0].frames, 160);
  EXPECT_EQ(kept[0].end, evening(1.0));
  EXPECT_EQ(kept[0].kind, "planet");
  EXPECT_EQ(kept[0].target, "mars");
  EXPECT_EQ(kept[0].width, 96);
}

TEST(Recordings, ANameUsedAgainLaterIsAnotherRecording) {
  SmallLogbook book;
  book.record("test.ser", 10.0);
  book.record("test.ser", 0.0);
  const auto kept = recordings_of(book.database, book.night).value();
  ASSERT_EQ(kept.size(), 2U);
  EXPECT_EQ(kept[0].start, evening(0.0));
}

}  // namespace
}  // namespace halfarc
