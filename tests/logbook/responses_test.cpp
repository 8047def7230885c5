#include "halfarc/logbook/responses.h"

#include <gtest/gtest.h>

#include "halfarc/logbook/sites.h"
#include "small_logbook.h"

namespace halfarc {
namespace {

TEST(Responses, TheLatestOfATelescopeIsWhatIsKnown) {
  SmallLogbook book;
  const auto rig = put_rig(book.database, {"the big one", 203.0, 2030.0, 0.35}).value();
  const auto amplified = put_rig(book.database, {"the big one", 203.0, 4060.0, 0.175}).value();
  const auto other = put_rig(book.database, {"the small one", 120.0, 840.0, 0.8}).value();
  ResponseRow row{rig, "screw-a", "coma_x", 4.0, 2.0, "waves a turn", 0, evening(0.0)};
  ASSERT_TRUE(add_response(book.database, row).has_value());
  row.value = 5.0;
  row.sigma = 0.5;
  row.pairs = 1;
  ASSERT_TRUE(add_response(book.database, row).has_value());
  ASSERT_TRUE(add_response(book.database, row).has_value());  // nothing new was learned

  const auto known = responses_of(book.database, amplified).value();
  ASSERT_EQ(known.size(), 1U);
  EXPECT_EQ(known[0].value, 5.0);
  EXPECT_EQ(known[0].sigma, 0.5);
  EXPECT_EQ(known[0].pairs, 1);
  EXPECT_TRUE(responses_of(book.database, other)->empty());
  EXPECT_EQ(book.database.number("SELECT count(*) FROM responses").value(), 2);
}

}  // namespace
}  // namespace halfarc
