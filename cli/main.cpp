// halfarc: the command line. Reads the words, runs one command, and turns what comes back into a line and an exit code.

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <exception>
#include <string>

#include "commands.h"
#include "progress_bar.h"

namespace halfarc::cli {
namespace {

void add_commands(CLI::App& app, Context& context) {
  add_init(app, context);
  add_plan(app, context);
  add_where(app, context);
  add_train(app, context);
  add_check(app, context);
  add_focus(app, context);
  add_turned(app, context);
  add_watch(app, context);
  add_budget(app, context);
  add_make(app, context);
  add_report(app, context);
  add_log(app, context);
  add_simulate(app, context);
  add_rehearse(app, context);
  add_serve(app, context);
  add_doctor(app, context);
  add_words(app, context);
}

void describe(CLI::App& app) {
  app.set_help_flag("-h,--help", "Print this help");
  app.set_version_flag("--version", std::string("halfarc " HALFARC_VERSION), "Print the version");
  app.footer(
      "Each command has its own help, with examples: halfarc COMMAND --help\n"
      "Exit codes: 0 done; 1 could not finish; 2 wrong usage; 3 bad input; 4 refused for safety.\n"
      "Every verdict is an estimate with an error. halfarc is not a solar tool.");
  app.get_formatter()->column_width(34);
}

int say_error(const Error& error) {
  fmt::print(stderr, "halfarc: {}\n", error.line());
  return exit_code(error.kind);
}

Error usage(std::string what, const std::string& command = {}) {
  const std::string words = command.empty() ? "halfarc --help" : "halfarc " + command + " --help";
  return {ErrorKind::usage, std::move(what), command, "see `" + words + "`"};
}

// A first word that is neither a command nor an option deserves a better answer than the parser's "a subcommand is
// required".
Result<void> check_first_word(const CLI::App& app, int argc, char** argv) {
  if (argc < 2) return usage("say which command to run");
  const std::string word = argv[1];
  if (word.starts_with('-')) {
    if (app.get_option_no_throw(word) == nullptr) return usage("there is no option \"" + word + "\"");
    return {};
  }
  const auto named = app.get_subcommands([&](const CLI::App* command) { return command->get_name() == word; });
  if (named.empty()) return usage("there is no command \"" + word + "\"");
  return {};
}

std::string chosen_command(const CLI::App& app) {
  const auto chosen = app.get_subcommands();
  return chosen.empty() ? std::string() : chosen.front()->get_name();
}

int run(int argc, char** argv) {
  CLI::App app("halfarc turns recordings of planets and the Moon into readings and into an image whose detail is real.",
               "halfarc");
  Context context;
  describe(app);
  add_commands(app, context);
  app.require_subcommand(1);

  const auto words = check_first_word(app, argc, argv);
  if (!words) return say_error(words.error());
  try {
    app.parse(argc, argv);
  } catch (const CLI::Success& asked) {  // --help, --version
    return app.exit(asked);
  } catch (const CLI::ParseError& wrong) {
    return say_error(usage(wrong.what(), chosen_command(app)));
  }

  stop_on_signals();
  ProgressBar progress(stderr, display_for(stderr, context.quiet));
  context.progress = &progress;
  const auto done = context.action(context);
  progress.clear();
  return done ? 0 : say_error(done.error());
}

}  // namespace
}  // namespace halfarc::cli

int main(int argc, char** argv) {
  try {
    return halfarc::cli::run(argc, argv);
  } catch (const std::exception& bug) {
    fmt::print(stderr, "halfarc: this is a bug in halfarc ({}); please report it with the command that led here\n",
               bug.what());
  } catch (...) {
    fmt::print(stderr, "halfarc: this is a bug in halfarc; please report it with the command that led here\n");
  }
  return 1;
}
