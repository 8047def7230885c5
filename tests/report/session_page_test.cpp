#include "halfarc/report/session_page.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "halfarc/report/base64.h"
#include "harbour_night.h"

namespace halfarc {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

TEST(SessionPage, HoldsThePicturesAndEscapesWhatTheOwnerWrote) {
  const std::string page = session_page(testing::harbour_night());
  EXPECT_THAT(page, HasSubstr("<h1>The night of 25 November 2026, Kelderhaven &lt;pier&gt;</h1>"));
  EXPECT_THAT(page, HasSubstr("data:image/png;base64," + base64("not really a png")));
  EXPECT_THAT(page, HasSubstr("note: &lt;mist&gt;"));
  EXPECT_THAT(page, Not(HasSubstr("<mist>")));
  EXPECT_THAT(page, HasSubstr("<td class='number'>40 ± 3 %</td>"));
}

TEST(SessionPage, AnEmptyNightHasNoEmptySections) {
  Session s;
  s.date = "2026-11-25";
  const std::string page = session_page(s);
  EXPECT_THAT(page, Not(HasSubstr("<h2>Images")));
  EXPECT_THAT(page, Not(HasSubstr("<svg")));
  EXPECT_THAT(page, Not(HasSubstr("next time")));
}

}  // namespace
}  // namespace halfarc
