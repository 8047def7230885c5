#include "halfarc/report/session_text.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "harbour_night.h"

namespace halfarc {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

TEST(SessionText, SaysWhatWasDoneWhatBlurredAndWhatToChange) {
  const std::string text = session_text(testing::harbour_night());
  EXPECT_THAT(text, HasSubstr("The night of 25 November 2026, Kelderhaven"));
  EXPECT_THAT(text, HasSubstr("2.5 times  wait (moving air, for Mars; measured)"));
  EXPECT_THAT(text, HasSubstr("+25 %  let it cool (tube heat, for Mars; predicted, no larger than its own error)"));
  EXPECT_THAT(text, HasSubstr("mars.fits, Mars at 22:40 UT: 300 of 1000 frames, real down to 0.62 ± 0.03\""));
  EXPECT_THAT(text, HasSubstr("21:43  note: <mist>"));
  EXPECT_THAT(text, HasSubstr("40 ± 3 %"));
  EXPECT_THAT(text, HasSubstr("undone"));
}

TEST(SessionText, AnEmptyNightSaysSo) {
  Session s;
  s.date = "2026-11-25";
  const std::string text = session_text(s);
  EXPECT_THAT(text, HasSubstr("nothing was noted"));
  EXPECT_THAT(text, Not(HasSubstr("Images")));
}

TEST(SessionText, ADateThatIsNoneStaysAsItIs) {
  EXPECT_EQ(date_words("2027-02-14"), "14 February 2027");
  EXPECT_EQ(date_words("someday"), "someday");
}

}  // namespace
}  // namespace halfarc
