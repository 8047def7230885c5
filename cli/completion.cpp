#include "completion.h"

#include <fmt/format.h>

#include <string_view>

namespace halfarc::cli {
namespace {

std::string names_of(const CommandWords& command) {
  std::string words;
  for (const CommandWords& below : command.commands) words += below.name + " ";
  for (const OptionWords& option : command.options)
    for (const std::string& name : option.names) words += name + " ";
  if (!words.empty()) words.pop_back();
  return words;
}

// Within single quotes of a shell; zsh takes brackets and colons for its own.
std::string in_quotes(std::string_view text, bool zsh = false) {
  std::string out;
  for (const char c : text) {
    if (c == '\'')
      out += "'\\''";
    else if (zsh && (c == '[' || c == ']' || c == ':'))
      out += std::string("\\") + c;
    else
      out += c == '\n' ? ' ' : c;
  }
  return out;
}

// "log", "log note", ...
template <class Each>
void each_command(const CommandWords& program, const std::string& before, const Each& each) {
  for (const CommandWords& command : program.commands) {
    const std::string path = before.empty() ? command.name : before + " " + command.name;
    each(command, path);
    each_command(command, path, each);
  }
}

std::string fish_condition(const std::string& path) {
  std::string condition;
  for (std::size_t at = 0; at < path.size();) {
    const std::size_t end = std::min(path.find(' ', at), path.size());
    condition += (condition.empty() ? "" : "; and ");
    condition += "__fish_seen_subcommand_from " + path.substr(at, end - at);
    at = end + 1;
  }
  return condition;
}

void fish_options(std::string& script, const CommandWords& command, const std::string& condition) {
  for (const OptionWords& option : command.options) {
    if (option.names.empty()) continue;
    script += fmt::format("complete -c halfarc -n '{}'", condition);
    for (const std::string& name : option.names)
      script += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
    if (!option.value.empty()) script += " -r";
    script += fmt::format(" -d '{}'\n", in_quotes(option.does));
  }
}

}  // namespace

std::string bash_completion(const CommandWords& program) {
  std::string script =
      "# bash completion for halfarc\n"
      "_halfarc() {\n"
      "  local here=${COMP_WORDS[COMP_CWORD]} path='' word words i\n"
      "  for ((i = 1; i < COMP_CWORD; ++i)); do\n"
      "    word=${COMP_WORDS[i]}\n"
      "    case \"$path $word\" in\n";
  each_command(program, "", [&](const CommandWords&, const std::string& path) {
    script += fmt::format("      ' {}') path=' {}' ;;\n", path, path);
  });
  script += "    esac\n  done\n  case \"$path\" in\n";
  script += fmt::format("    '') words='{}' ;;\n", names_of(program));
  each_command(program, "", [&](const CommandWords& command, const std::string& path) {
    script += fmt::format("    ' {}') words='{}' ;;\n", path, names_of(command));
  });
  script +=
      "  esac\n"
      "  COMPREPLY=($(compgen -W \"$words\" -- \"$here\"))\n"
      "}\n"
      "complete -o default -F _halfarc halfarc\n";
  return script;
}

std::string zsh_completion(const CommandWords& program) {
  std::string script =
      "#compdef halfarc\n"
      "_halfarc() {\n"
      "  local path='' word\n"
      "  local -a commands\n"
      "  for word in \"${(@)words[2,CURRENT-1]}\"; do\n"
      "    case \"$path $word\" in\n";
  each_command(program, "", [&](const CommandWords&, const std::string& path) {
    script += fmt::format("      ' {}') path=' {}' ;;\n", path, path);
  });
  script += "    esac\n  done\n  case \"$path\" in\n";
  const auto one = [&](const CommandWords& command, const std::string& path) {
    script += fmt::format("    '{}')\n", path);
    if (!command.commands.empty()) {
      script += "      commands=(";
      for (const CommandWords& below : command.commands)
        script += fmt::format(" '{}:{}'", below.name, in_quotes(below.does, true));
      script += " )\n      _describe command commands\n";
    }
    script += "      _arguments";
    for (const OptionWords& option : command.options) {
      for (const std::string& name : option.names) {
        const std::string value = option.value.empty() ? "" : fmt::format(":{}:_files", in_quotes(option.value, true));
        script += fmt::format(" \\\n        '{}[{}]{}'", name, in_quotes(option.does, true), value);
      }
    }
    script += " \\\n        '*:file:_files'\n      ;;\n";
  };
  one(program, "");
  each_command(program, "", [&](const CommandWords& command, const std::string& path) { one(command, " " + path); });
  script += "  esac\n}\n_halfarc \"$@\"\n";
  return script;
}

std::string fish_completion(const CommandWords& program) {
  std::string script = "# fish completion for halfarc\n";
  for (const CommandWords& command : program.commands)
    script += fmt::format("complete -c halfarc -n __fish_use_subcommand -a {} -d '{}'\n", command.name,
                          in_quotes(command.does));
  fish_options(script, program, "__fish_use_subcommand");
  each_command(program, "", [&](const CommandWords& command, const std::string& path) {
    for (const CommandWords& below : command.commands)
      script += fmt::format("complete -c halfarc -n '{}' -a {} -d '{}'\n", fish_condition(path), below.name,
                            in_quotes(below.does));
    fish_options(script, command, fish_condition(path));
  });
  return script;
}

}  // namespace halfarc::cli
