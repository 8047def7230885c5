// halfarc log [list|show|note|trends|export]
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "commands.h"
#include "halfarc/app/keep_log.h"
#include "halfarc/app/log_document.h"
#include "halfarc/app/log_table.h"
#include "halfarc/app/log_words.h"
#include "halfarc/app/when.h"
#include "halfarc/base/atomic_file.h"
#include "here.h"

namespace halfarc::cli {
namespace {

struct Options {
  std::string what = "list";
  std::vector<std::string> words;
  std::string search, at = "now", output;
  std::optional<std::int64_t> last;
  std::optional<double> wind;
  bool csv = false;
};

Error usage(std::string what) { return {ErrorKind::usage, std::move(what), "log", "see `halfarc log --help`"}; }

Result<void> list(const Options& options, Context& context) {
  HALFARC_TRY(const OwnerLog log, read_owner_log(home_of_owner()));
  HALFARC_TRY(const auto found, nights(log.database, {options.search, options.last}));
  return context.print(context.json ? log_list_json(found) : log_list_words(found));
}

Result<void> show(const Options& options, Context& context) {
  if (options.words.size() != 1) return usage("say which night to show: its number or its date");
  HALFARC_TRY(const OwnerLog log, read_owner_log(home_of_owner()));
  HALFARC_TRY(const NightRow row, night_named(log.database, options.words.front()));
  HALFARC_TRY(const NightLog night, night_log(log.database, row));
  return context.print(context.json ? log_night_json(night) : log_night_words(night));
}

Result<void> note(const Options& options, Context& context) {
  HALFARC_TRY(const Utc at, parse_when(options.at, Utc::now()));
  HALFARC_TRY(OwnerLog log, open_owner_log(home_of_owner()));
  HALFARC_TRY(const NoteRow row, keep_note(log, fmt::format("{}", fmt::join(options.words, " ")), options.wind, at));
  return context.print(context.json ? noted_json(row) : noted_words(row));
}

Result<void> trends(Context& context) {
  const auto home = home_of_owner();
  HALFARC_TRY(const OwnerLog log, read_owner_log(home));
  HALFARC_TRY(const Trends found, trends_of(log.database, log.rig, home));
  HALFARC_TRY(const auto responses, responses_of(log.database, log.rig));
  return context.print(context.json ? log_trends_json(found, responses) : log_trends_words(found, responses));
}

Result<void> export_to(const TextSink& sink, bool csv) {
  HALFARC_TRY(const OwnerLog log, read_owner_log(home_of_owner()));
  return csv ? export_csv(log.database, sink) : export_json(log.database, sink);
}

Result<void> export_all(const Options& options, Context& context) {
  if (options.csv && context.json) return usage("--json and --csv are two files: ask for one at a time");
  if (options.output.empty()) return export_to([&](std::string_view text) { return context.print(text); }, options.csv);
  HALFARC_TRY(AtomicFile file, AtomicFile::create(options.output));
  HALFARC_CHECK(export_to([&](std::string_view text) { return file.write(text); }, options.csv));
  return file.commit();
}

Result<void> log(const Options& options, Context& context) {
  const bool takes_words = options.what == "show" || options.what == "note";
  if (!takes_words && !options.words.empty()) return usage("\"" + options.what + "\" takes no further words");
  if (options.what == "show") return show(options, context);
  if (options.what == "note") return note(options, context);
  if (options.what == "trends") return trends(context);
  if (options.what == "export") return export_all(options, context);
  return list(options, context);
}

}  // namespace

void add_log(CLI::App& app, Context& context) {
  const auto options = std::make_shared<Options>();
  CLI::App* command = add_command(app, context, "log", "Look into the logbook, write a note, or take it elsewhere.",
                                  "  halfarc log\n"
                                  "  halfarc log list --search jupiter --last 10\n"
                                  "  halfarc log show 2026-11-25\n"
                                  "  halfarc log note \"haze low down\" --wind 2.5\n"
                                  "  halfarc log trends\n"
                                  "  halfarc log export --csv -o logbook.csv\n",
                                  [options](Context& c) { return log(*options, c); });
  command->add_option("WHAT", options->what, "list (default), show, note, trends or export")
      ->check(CLI::IsMember({"list", "show", "note", "trends", "export"}));
  command->add_option("WORDS", options->words, "For show: the night's number or date. For note: the text");
  command->add_option("--search", options->search, "For list: nights with this in a note, a target or a file's name")
      ->type_name("TEXT");
  command->add_option("--last", options->last, "For list: only so many nights, the latest")
      ->check(CLI::Range(1, 1000000))
      ->type_name("N");
  command->add_option("--wind", options->wind, "For note: the wind in metres a second, for the trend of the seeing")
      ->check(CLI::Range(0.0, 59.0))
      ->type_name("M/S");
  command->add_option("--at", options->at, "For note: when, in UTC (default: now)")->type_name("UTC");
  command->add_flag("--csv", options->csv, "For export: a table, a row a recording, reading, turn, image and note");
  command->add_option("-o,--output", options->output, "For export: the file (default: standard output)")
      ->type_name("FILE");
  add_json_flag(*command, context);
}

}  // namespace halfarc::cli
