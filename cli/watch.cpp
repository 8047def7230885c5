// halfarc watch DIR
#include <fmt/format.h>

#include <memory>
#include <string>

#include "clip_options.h"
#include "commands.h"
#include "halfarc/app/check_document.h"
#include "halfarc/app/check_words.h"
#include "halfarc/app/keep_watch.h"
#include "halfarc/app/watch_document.h"
#include "keep.h"

namespace halfarc::cli {
namespace {

// Fewer frames are a picture that lies among the recordings, not a clip.
constexpr std::size_t kFewestFrames = 10;

struct Options {
  std::string folder;
  ClipWords words;
  bool no_log = false;
};

// Prints and keeps what one new recording says. A recording that cannot be used is said, and the watch goes on.
// Errors: standard output is gone.
Result<void> tell(const std::filesystem::path& path, const CheckOptions& how, const Options& options,
                  Context& context) {
  std::error_code ignored;
  const bool is_folder = std::filesystem::is_directory(path, ignored);
  const auto recording = open_recording(path);
  if (is_folder && !recording) return {};  // a folder of something else
  if (recording && (*recording)->info().frames < kFewestFrames) return {};
  const auto check = recording ? check_clip(path, how, *context.progress) : Result<ClipCheck>(recording.error());
  if (!check) {
    if (check.error().kind == ErrorKind::cancelled) return {};
    if (context.json) return context.print(watch_error_json(path, check.error(), Utc::now()));
    fmt::print(stderr, "halfarc: {}\n", check.error().line());
    return {};
  }
  HALFARC_CHECK(context.print(context.json ? watch_check_json(*check, Utc::now()) : check_words(*check)));
  keep_clip_in_log(options.no_log, *check);
  return {};
}

// The commands' own progress, which stops also when nobody reads the output any more.
class UntilUnread final : public Progress {
 public:
  explicit UntilUnread(Progress& inner) : inner_(inner) {}
  void report(std::string_view stage, std::size_t done, std::size_t total) override {
    inner_.report(stage, done, total);
  }
  bool stop_requested() const override { return !printed.has_value() || inner_.stop_requested(); }

  Result<void> printed;

 private:
  Progress& inner_;
};

Result<void> watch(const Options& options, Context& context) {
  HALFARC_TRY(const CheckOptions how, clip_options(options.words, context.threads));
  UntilUnread progress(*context.progress);
  WatchHandlers handlers;
  handlers.ready = [&](const std::filesystem::path& path) { progress.printed = tell(path, how, options, context); };
  handlers.said = [&](const std::string& said) {
    progress.printed = context.print(context.json ? watch_said_json(said, Utc::now()) : said);
  };
  HALFARC_CHECK(keep_watch(options.folder, handlers, progress));
  return progress.printed;
}

}  // namespace

void add_watch(CLI::App& app, Context& context) {
  const auto options = std::make_shared<Options>();
  CLI::App* command =
      add_command(app, context, "watch", "Check every new recording of a folder as it is closed, until Ctrl-C.",
                  "  halfarc watch ~/captures\n"
                  "  halfarc watch ~/captures --json --no-log\n",
                  [options](Context& c) { return watch(*options, c); });
  command->add_option("DIR", options->folder, "The folder into which your camera program writes")->required();
  add_clip_options(*command, options->words);
  add_no_log_flag(*command, options->no_log);
  add_json_flag(*command, context);
}

}  // namespace halfarc::cli
