#include "commands.h"

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <utility>

namespace halfarc::cli {
namespace {

constexpr const char* kCommonGroup = "Options of every command";

}  // namespace

Result<void> Context::print(std::string_view text) const {
  bool written = std::fwrite(text.data(), 1, text.size(), stdout) == text.size();
  if (!text.ends_with('\n')) written = std::fputc('\n', stdout) != EOF && written;
  if (std::fflush(stdout) != 0 || !written) {
    return failed(std::string("cannot write: ") + std::strerror(errno), "standard output",
                  "send the output somewhere with space");
  }
  return {};
}

CLI::App* add_command(CLI::App& app, Context& context, const std::string& name, const std::string& does,
                      const std::string& examples, Action action) {
  CLI::App* command = app.add_subcommand(name, does);
  command->footer("Examples:\n" + examples);
  command->add_flag("-q,--quiet", context.quiet, "Say nothing about progress")->group(kCommonGroup);
  command->add_option("--threads", context.threads.count, "Threads to use (default: all the machine has)")
      ->check(CLI::Range(1, 1024))
      ->type_name("N")
      ->group(kCommonGroup);
  command->callback([&context, action = std::move(action)] { context.action = action; });
  return command;
}

void add_json_flag(CLI::App& command, Context& context) {
  command.add_flag("--json", context.json, "Print one JSON document and nothing else")->group(kCommonGroup);
}

}  // namespace halfarc::cli
