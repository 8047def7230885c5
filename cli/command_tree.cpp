#include "command_tree.h"

namespace halfarc::cli {
namespace {

OptionWords words_of(const CLI::Option& option) {
  OptionWords words;
  for (const std::string& name : option.get_snames()) words.names.push_back("-" + name);
  for (const std::string& name : option.get_lnames()) words.names.push_back("--" + name);
  if (words.names.empty()) {
    words.value = option.get_name(true);
  } else if (option.get_type_size_max() != 0) {
    const std::string type = option.get_type_name();  // with what is allowed after a colon
    words.value = type.substr(0, type.find(':'));
  }
  words.does = option.get_description();
  return words;
}

}  // namespace

CommandWords tree_of(const CLI::App& app) {
  CommandWords command;
  command.name = app.get_name();
  command.does = app.get_description();
  command.after = app.get_footer();
  for (const CLI::Option* option : app.get_options()) {
    if (!option->get_group().empty()) command.options.push_back(words_of(*option));
  }
  for (const CLI::App* below : app.get_subcommands([](const CLI::App*) { return true; })) {
    if (!below->get_group().empty()) command.commands.push_back(tree_of(*below));
  }
  return command;
}

}  // namespace halfarc::cli
