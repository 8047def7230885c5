#include "completion.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace halfarc::cli {
namespace {

using testing::HasSubstr;

CommandWords program() {
  return {"prog",
          "Does things.",
          "",
          {{{"--version"}, "", "Print the version"}},
          {{"log",
            "Looks into the owner's book.",
            "",
            {{{"-s", "--since"}, "DATE", "From [then]: on"}, {{}, "WORD", "A word"}},
            {{"note", "Notes.", "", {{{"--wind"}, "M/S", "Wind"}}, {}}}}}};
}

TEST(Completion, BashKnowsTheOptionsOfEachCommandAndOfThoseBelow) {
  const std::string script = bash_completion(program());
  EXPECT_THAT(script, HasSubstr("'') words='log --version' ;;"));
  EXPECT_THAT(script, HasSubstr("' log') words='note -s --since' ;;"));
  EXPECT_THAT(script, HasSubstr("' log note') words='--wind' ;;"));
}

TEST(Completion, ZshTakesBracketsAndColonsAsText) {
  const std::string script = zsh_completion(program());
  EXPECT_THAT(script, HasSubstr("'--since[From \\[then\\]\\: on]:DATE:_files'"));
  EXPECT_THAT(script, HasSubstr("'log:Looks into the owner'\\''s book.'"));
}

TEST(Completion, FishKnowsWhichOptionsTakeAValue) {
  const std::string script = fish_completion(program());
  EXPECT_THAT(script, HasSubstr("complete -c halfarc -n '__fish_seen_subcommand_from log' -s s -l since -r -d"));
  EXPECT_THAT(script,
              HasSubstr("-n '__fish_seen_subcommand_from log; and __fish_seen_subcommand_from note' -l wind -r"));
}

}  // namespace
}  // namespace halfarc::cli
