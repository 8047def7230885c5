#include "commands.h"

#include <gtest/gtest.h>

#include <cstdio>

namespace halfarc::cli {
namespace {

// A command line with one command, `weigh ITEM [--json]`.
struct Bench {
  CLI::App app{"a bench", "halfarc"};
  Context context;
  std::string item;

  Bench() {
    CLI::App* command = add_command(app, context, "weigh", "Weighs.", "  halfarc weigh tube\n", [this](Context& c) {
      return c.json ? Result<void>() : Result<void>(bad_input("no scales", item));
    });
    command->add_option("ITEM", item, "What to weigh")->required();
    add_json_flag(*command, context);
    app.require_subcommand(1);
  }
};

TEST(Commands, TheChosenOneIsKeptForLater) {
  Bench bench;
  bench.app.parse("weigh tube");
  ASSERT_TRUE(bench.context.action);
  EXPECT_FALSE(bench.context.quiet);
  EXPECT_FALSE(bench.context.json);
  EXPECT_EQ(bench.context.threads.count, 0);
  const auto done = bench.context.action(bench.context);
  ASSERT_FALSE(done);
  EXPECT_EQ(done.error().line(), "tube: no scales");
}

TEST(Commands, HaveTheirFlagsInCommon) {
  Bench bench;
  bench.app.parse("weigh tube --json --quiet --threads 3");
  EXPECT_TRUE(bench.context.json);
  EXPECT_TRUE(bench.context.quiet);
  EXPECT_EQ(bench.context.threads.count, 3);
  EXPECT_TRUE(bench.context.action(bench.context));
}

TEST(Commands, RefuseWrongWords) {
  for (const char* wrong : {"weigh", "weigh tube --threads 0", "weigh tube --threads two", "weigh tube --heavy",
                            "weigh tube mount", "--json weigh tube"}) {
    Bench bench;
    EXPECT_THROW(bench.app.parse(wrong), CLI::ParseError) << wrong;
  }
}

TEST(Commands, ShowTheirExamples) {
  Bench bench;
  EXPECT_NE(bench.app.get_subcommand("weigh")->help().find("Examples:\n  halfarc weigh tube"), std::string::npos);
}

TEST(CommandsDeathTest, PrintEndsTheLine) {
  const auto print_both = [] {
    const Context context;
    std::fclose(stdout);
    stdout = std::tmpfile();
    const bool printed = context.print("one").has_value() && context.print("two\n").has_value();
    std::rewind(stdout);
    char text[16] = {};
    const bool whole = std::fread(text, 1, sizeof text, stdout) == 8;
    std::_Exit(printed && whole && std::string(text) == "one\ntwo\n" ? 0 : 1);
  };
  EXPECT_EXIT(print_both(), testing::ExitedWithCode(0), "");
}

// /dev/full is the kernel's disk that is always full.
TEST(CommandsDeathTest, PrintSaysWhenTheOutputIsFull) {
  const auto print_to_full = [] {
    const Context context;
    if (std::freopen("/dev/full", "w", stdout) == nullptr) std::_Exit(2);
    const auto printed = context.print("one");
    if (!printed) std::fputs(printed.error().line().c_str(), stderr);
    std::_Exit(printed ? 1 : 0);
  };
  EXPECT_EXIT(print_to_full(), testing::ExitedWithCode(0), "standard output: cannot write: No space left");
}

}  // namespace
}  // namespace halfarc::cli
