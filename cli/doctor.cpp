// halfarc doctor [--watch DIR] [--region WxH] [--frames-per-second N]
#include "halfarc/app/doctor.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <memory>
#include <string>

#include "commands.h"
#include "halfarc/app/doctor_document.h"
#include "here.h"

namespace halfarc::cli {
namespace {

struct Options {
  std::string recordings;
  std::string region;
  std::optional<double> frames_per_s;
  bool no_disk = false;
};

std::vector<std::filesystem::path> font_folders() {
  std::vector<std::filesystem::path> folders = {"/usr/share/fonts", "/usr/local/share/fonts"};
  if (const char* home = std::getenv("HOME"); home != nullptr && *home != '\0') {
    folders.push_back(std::filesystem::path(home) / ".local" / "share" / "fonts");
    folders.push_back(std::filesystem::path(home) / ".fonts");
  }
  return folders;
}

Result<void> doctor(const Options& options, Context& context) {
  DoctorRequest request;
  request.home = home_of_owner();
  request.recordings = options.recordings;
  request.region = options.region;
  request.frames_per_s = options.frames_per_s;
  request.try_disk = !options.no_disk;
  request.font_folders = font_folders();
  request.version = HALFARC_VERSION;
  request.now = Utc::now();
  HALFARC_TRY(const auto findings, examine(request));
  HALFARC_CHECK(context.print(context.json ? doctor_json(findings, request) : doctor_words(findings)));
  const auto faults =
      std::count_if(findings.begin(), findings.end(), [](const Finding& f) { return f.health == Health::fault; });
  if (faults == 0) return {};
  return failed(fmt::format("{} of the findings will spoil a night", faults), "", "see `fault` above");
}

}  // namespace

void add_doctor(CLI::App& app, Context& context) {
  const auto options = std::make_shared<Options>();
  CLI::App* command = add_command(app, context, "doctor", "Whether this machine and your folders are fit for a night.",
                                  "  halfarc doctor\n"
                                  "  halfarc doctor --watch ~/captures\n"
                                  "  halfarc doctor --watch ~/captures --region 800x600 --frames-per-second 150\n"
                                  "  halfarc doctor --json --no-disk\n",
                                  [options](Context& c) { return doctor(*options, c); });
  command
      ->add_option("--watch", options->recordings,
                   "The folder into which your camera program writes (default: recordings in the home folder)")
      ->type_name("DIR");
  command->add_option("--region", options->region, "What you record of the sensor (default: 640x480)")
      ->type_name("WxH");
  command
      ->add_option("--frames-per-second", options->frames_per_s,
                   "At what rate (default: what the rig's camera gives at exposures of 5 ms)")
      ->check(CLI::Range(0.1, 1e5))
      ->type_name("N");
  command->add_flag("--no-disk", options->no_disk, "Do not try the speed of the disk");
  add_json_flag(*command, context);
}

}  // namespace halfarc::cli
