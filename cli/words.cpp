// halfarc completion bash|zsh|fish, and halfarc manual: the command line described, for shells and for man.
#include <memory>
#include <string>

#include "command_tree.h"
#include "commands.h"
#include "completion.h"
#include "manual.h"

namespace halfarc::cli {

void add_words(CLI::App& app, Context& context) {
  const auto shell = std::make_shared<std::string>();
  CLI::App* completion =
      add_command(app, context, "completion", "Print what lets your shell finish halfarc's commands and options.",
                  "  halfarc completion bash > ~/.local/share/bash-completion/completions/halfarc\n"
                  "  halfarc completion zsh > ~/.zfunc/_halfarc\n"
                  "  halfarc completion fish > ~/.config/fish/completions/halfarc.fish\n",
                  [&app, shell](Context& c) {
                    const CommandWords tree = tree_of(app);
                    return c.print(*shell == "bash"  ? bash_completion(tree)
                                   : *shell == "zsh" ? zsh_completion(tree)
                                                     : fish_completion(tree));
                  });
  completion->add_option("SHELL", *shell, "bash, zsh or fish")
      ->required()
      ->check(CLI::IsMember({"bash", "zsh", "fish"}));
  CLI::App* manual = add_command(app, context, "manual", "Print the manual page.", "  halfarc manual | man -l -\n",
                                 [&app](Context& c) { return c.print(manual_page(tree_of(app), HALFARC_VERSION)); });
  manual->group("");  // for packages
}

}  // namespace halfarc::cli
