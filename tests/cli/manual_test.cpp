#include "manual.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace halfarc::cli {
namespace {

using testing::HasSubstr;
using testing::StartsWith;

CommandWords program() {
  return {"prog",
          "Does things.",
          "Exit codes: 0 done.",
          {{{"-h", "--help"}, "", "Print this help"}},
          {{"log",
            "Looks.",
            "Examples:\n  prog log\n",
            {{{"--since"}, "DATE", ".5 nights\\weeks back"}},
            {{"note", "Notes.", "", {}, {}}}}}};
}

// Source: groff_man(7) and man(7): a line that begins with a dot is a request, \- a minus, \e a backslash.
TEST(Manual, WritesWhatRoffWouldTakeForItsOwnAsText) {
  const std::string page = manual_page(program(), "1.2-3");
  EXPECT_THAT(page, StartsWith(".TH HALFARC 1 \"\" \"halfarc 1.2\\-3\""));
  EXPECT_THAT(page, HasSubstr(".TP\n\\fB\\-\\-since\\fR \\fIDATE\\fR\n\\&.5 nights\\eweeks back\n"));
  EXPECT_THAT(page, HasSubstr(".SS \"log note\"\nNotes.\n"));
  EXPECT_THAT(page, HasSubstr(".nf\nExamples:\n  prog log\n.fi\n"));
}

TEST(Manual, HasTheSectionsThatPagesHave) {
  const std::string page = manual_page(program(), "1");
  for (const char* section :
       {".SH NAME", ".SH SYNOPSIS", ".SH DESCRIPTION", ".SH OPTIONS", ".SH COMMANDS", ".SH ENVIRONMENT"})
    EXPECT_THAT(page, HasSubstr(section));
}

}  // namespace
}  // namespace halfarc::cli
