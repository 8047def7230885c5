// build/release/accuracy/halfarc-accuracy [--only LADDER] [--seeds N] [--small] [-o docs/accuracy.md]
//
// Prints the tables as they fill. With --small it runs the short ladders of ./test and ends with 1 when a bar is
// clearly missed or a stated error is clearly dishonest; without, what is missed is shown and nothing else.
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <stdlib.h>
#include <unistd.h>

#include <cstdio>

#include "halfarc/base/atomic_file.h"
#include "report.h"

namespace {

using namespace halfarc;
using namespace halfarc::accuracy;

struct Options {
  std::string only;
  std::string output;
  std::size_t seeds = 0;  // 0: each ladder's own
  bool small = false;
};

// Why the short ladders fail, or nothing.
std::string complaint(const Ladder& ladder, const Rung& rung, const RungOutcome& outcome) {
  if (outcome.refused == outcome.seeds) return "nothing was read: " + outcome.last_reason;
  if (clearly_missed(outcome.figures, rung.bar)) return "the bar is missed by more than chance";
  if (ladder.states_errors && clearly_dishonest(outcome.figures)) return "the stated errors are not those found";
  return {};
}

int run(const Options& options, const std::string& command, const std::filesystem::path& folder) {
  std::string report = report_head(command);
  bool good = true;
  bool found = false;
  for (const Ladder& ladder : every_ladder()) {
    if (!options.only.empty() && options.only != ladder.name) continue;
    found = true;
    std::string text = table_head(ladder);
    fmt::print("{}", text);
    for (const Rung& rung : ladder.rungs) {
      if (options.small && !rung.in_small) continue;
      const std::size_t own = options.small ? ladder.small_seeds : ladder.seeds;
      const RungOutcome outcome = run_rung(rung, options.seeds > 0 ? options.seeds : own, folder);
      const std::string row = table_row(ladder, rung, outcome);
      fmt::print("{}", row);
      std::fflush(stdout);
      text += row;
      const std::string why = options.small ? complaint(ladder, rung, outcome) : std::string();
      if (!why.empty()) {
        fmt::print(stderr, "{}, {}: {}\n", ladder.name, rung.conditions, why);
        good = false;
      }
    }
    report += text;
  }
  if (!found) {
    fmt::print(stderr, "no ladder is called {}\n", options.only);
    return 2;
  }
  if (!options.output.empty()) {
    const auto written = write_file(options.output, report);
    if (!written) {
      fmt::print(stderr, "{}\n", written.error().line());
      return 1;
    }
  }
  return good ? 0 : 1;
}

}  // namespace

int main(int argc, char** argv) {
  CLI::App app("Judges every reading and image of halfarc against the truth of simulated recordings.");
  Options options;
  app.add_option("--only", options.only, "One ladder, by its name");
  app.add_option("--seeds", options.seeds, "Trials of every rung (default: each ladder's own)");
  app.add_flag("--small", options.small, "The short ladders, and fail when one is clearly missed");
  app.add_option("-o,--output", options.output, "Where the report goes, Markdown");
  CLI11_PARSE(app, argc, argv);

  std::string folder = (std::filesystem::temp_directory_path() / "halfarc-accuracy.XXXXXX").string();
  if (::mkdtemp(folder.data()) == nullptr) {
    fmt::print(stderr, "cannot make a folder for the recordings in {}\n", folder);
    return 1;
  }
  std::string command = "build/release/accuracy/halfarc-accuracy";
  for (int i = 1; i < argc; ++i) command += fmt::format(" {}", argv[i]);
  const int code = run(options, command, folder);
  std::error_code ignored;
  std::filesystem::remove_all(folder, ignored);
  return code;
}
