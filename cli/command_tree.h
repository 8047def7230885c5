// Command tree: every command and option of the command line as plain values, so that the manual page and the shells'
// completions are made of what the parser itself knows and cannot lag behind it.
#pragma once

#include <CLI/CLI.hpp>

#include <string>
#include <vector>

namespace halfarc::cli {

struct OptionWords {
  std::vector<std::string> names;  // "-q", "--quiet"; none for a word without a name
  std::string value;               // "DIR"; empty for a flag
  std::string does;
};

struct CommandWords {
  std::string name;
  std::string does;
  std::string after;  // examples, or what else its help ends with
  std::vector<OptionWords> options;
  std::vector<CommandWords> commands;
};

// Without what is hidden.
CommandWords tree_of(const CLI::App& app);

}  // namespace halfarc::cli
