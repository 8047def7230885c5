#include "manual.h"

#include <fmt/format.h>

#include <string_view>

namespace halfarc::cli {
namespace {

// Letters that roff would read as its own.
std::string plain(std::string_view text) {
  std::string out;
  bool at_start = true;
  for (const char c : text) {
    if (at_start && (c == '.' || c == '\'')) out += "\\&";
    if (c == '-')
      out += "\\-";
    else if (c == '\\')
      out += "\\e";
    else
      out += c;
    at_start = c == '\n';
  }
  return out;
}

void add_option(std::string& page, const OptionWords& option) {
  page += ".TP\n";
  std::string names;
  for (const std::string& name : option.names) names += (names.empty() ? "\\fB" : ", \\fB") + plain(name) + "\\fR";
  const std::string value = option.value.empty() ? "" : "\\fI" + plain(option.value) + "\\fR";
  page += names + (names.empty() || value.empty() ? "" : " ") + value + "\n";
  page += plain(option.does) + "\n";
}

void add_after(std::string& page, const std::string& after) {
  if (after.empty()) return;
  page += ".PP\n.nf\n" + plain(after) + (after.ends_with('\n') ? "" : "\n") + ".fi\n";
}

void add_command(std::string& page, const CommandWords& command, const std::string& before) {
  const std::string name = before + command.name;
  page += fmt::format(".SS \"{}\"\n{}\n", plain(name), plain(command.does));
  for (const OptionWords& option : command.options) add_option(page, option);
  add_after(page, command.after);
  for (const CommandWords& below : command.commands) add_command(page, below, name + " ");
}

}  // namespace

std::string manual_page(const CommandWords& program, const std::string& version) {
  std::string page = fmt::format(".TH HALFARC 1 \"\" \"halfarc {}\" \"User commands\"\n", plain(version));
  page += ".SH NAME\nhalfarc \\- a night bench for people who image the planets and the Moon\n";
  page += ".SH SYNOPSIS\n.B halfarc\n.I COMMAND\n[\\fIWORDS\\fR] [\\fIOPTIONS\\fR]\n";
  page += ".SH DESCRIPTION\n" + plain(program.does) + "\n";
  page += ".SH OPTIONS\n";
  for (const OptionWords& option : program.options) add_option(page, option);
  page += ".SH COMMANDS\n";
  for (const CommandWords& command : program.commands) add_command(page, command, "");
  page += ".SH ENVIRONMENT\n.TP\n\\fBHALFARC_HOME\\fR\nThe folder of site.toml, rig.toml and the logbook.\n";
  page += ".SH \"EXIT STATUS, AND WHAT TO KNOW\"\n.nf\n" + plain(program.after) + "\n.fi\n";
  page +=
      ".SH SAFETY\nNever point a telescope near the Sun: looking through it then blinds at once. Commands that would "
      "lead there refuse.\n";
  return page;
}

}  // namespace halfarc::cli
