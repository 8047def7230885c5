// The commands of the one binary, `halfarc`, and what they share.
//
// A command is one file, cli/<command>.cpp, with one function add_<command>() that hangs its name, its options and
// its action into the command line. The action does the work through app/ and answers with a Result: an Error becomes
// the one line and the exit code of docs/conventions.md, in main.cpp and nowhere else.
//
//     void add_check(CLI::App& app, Context& context) {
//       struct Options { std::vector<std::string> clips; };
//       const auto options = std::make_shared<Options>();
//       CLI::App* command = add_command(app, context, "check", "Readings and advice from short recordings.",
//                                       "  halfarc check mars.ser --json\n",
//                                       [options](Context& c) { return check(*options, c); });
//       command->add_option("CLIP", options->clips, "A recording: a file or a folder")->required();
//       add_json_flag(*command, context);
//     }
//
// Paths are plain strings: whether a file is there is for the reader to say (bad input, exit 3), so no
// CLI::ExistingFile. A new command also needs its line below, in main.cpp and in cli/CMakeLists.txt.
#pragma once

#include <CLI/CLI.hpp>

#include <functional>
#include <string>
#include <string_view>

#include "halfarc/base/parallel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"

namespace halfarc::cli {

// What the flags common to all commands say, and the ways out of a command.
struct Context {
  bool quiet = false;  // --quiet: no progress
  bool json = false;   // --json: one JSON document on stdout and nothing else
  Threads threads;     // --threads N

  Progress* progress = nullptr;  // set before the action runs
  std::function<Result<void>(Context&)> action;

  // Writes `text` to stdout at once; a newline is added unless it ends in one. Errors: stdout cannot be written.
  Result<void> print(std::string_view text) const;
};

using Action = std::function<Result<void>(Context&)>;

// A subcommand with --quiet and --threads, which runs `action` when it is chosen. `examples` is shown under the
// help, one indented line each.
CLI::App* add_command(CLI::App& app, Context& context, const std::string& name, const std::string& does,
                      const std::string& examples, Action action);

void add_json_flag(CLI::App& command, Context& context);

// The commands, in the order of the help.
void add_init(CLI::App& app, Context& context);
void add_plan(CLI::App& app, Context& context);
void add_where(CLI::App& app, Context& context);
void add_train(CLI::App& app, Context& context);
void add_check(CLI::App& app, Context& context);
void add_focus(CLI::App& app, Context& context);
void add_turned(CLI::App& app, Context& context);
void add_watch(CLI::App& app, Context& context);
void add_budget(CLI::App& app, Context& context);
void add_make(CLI::App& app, Context& context);
void add_report(CLI::App& app, Context& context);
void add_log(CLI::App& app, Context& context);
void add_simulate(CLI::App& app, Context& context);
void add_rehearse(CLI::App& app, Context& context);
void add_serve(CLI::App& app, Context& context);
void add_doctor(CLI::App& app, Context& context);
void add_words(CLI::App& app, Context& context);

}  // namespace halfarc::cli
