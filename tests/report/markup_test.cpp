#include "halfarc/report/markup.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

TEST(Markup, LetsAnyNameStandInAPicture) {
  EXPECT_EQ(escaped("2\" & <3.5>'s"), "2&quot; &amp; &lt;3.5&gt;&#39;s");
  EXPECT_EQ(escaped("a\nb"), "a b");
  EXPECT_EQ(escaped("f\xC3\xBCr"), "f\xC3\xBCr");
}

}  // namespace
}  // namespace halfarc
