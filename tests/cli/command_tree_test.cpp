#include "command_tree.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "commands.h"

namespace halfarc::cli {
namespace {

TEST(CommandTree, IsWhatTheParserKnowsWithoutWhatIsHidden) {
  CLI::App app("does things", "prog");
  Context context;
  int n = 0;
  CLI::App* one = add_command(app, context, "one", "The first.", "  prog one 3\n", {});
  one->add_option("COUNT", n, "How many")->required();
  one->add_option("-n,--number", n, "How many more")->check(CLI::Range(1, 9))->type_name("N");
  add_json_flag(*one, context);
  add_command(app, context, "two", "Not to be seen.", "", {})->group("");

  const CommandWords tree = tree_of(app);
  EXPECT_EQ(tree.does, "does things");
  ASSERT_EQ(tree.commands.size(), 1U);
  const CommandWords& command = tree.commands[0];
  EXPECT_EQ(command.name, "one");
  EXPECT_EQ(command.after, "Examples:\n  prog one 3\n");
  const auto named = [&](const std::string& name) {
    return std::find_if(command.options.begin(), command.options.end(), [&](const OptionWords& o) {
      return std::find(o.names.begin(), o.names.end(), name) != o.names.end();
    });
  };
  ASSERT_NE(named("--number"), command.options.end());
  EXPECT_EQ(named("--number")->value, "N");
  EXPECT_EQ(named("-n"), named("--number"));
  EXPECT_EQ(named("--json")->value, "");
  EXPECT_EQ(std::count_if(command.options.begin(), command.options.end(),
                          [](const OptionWords& o) { return o.names.empty() && o.value == "COUNT"; }),
            1);
}

}  // namespace
}  // namespace halfarc::cli
