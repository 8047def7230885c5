// halfarc check CLIP...
#include <memory>
#include <string>
#include <vector>

#include "commands.h"
#include "halfarc/app/check_clip.h"
#include "halfarc/app/check_document.h"
#include "halfarc/app/rig_optics.h"
#include "here.h"

namespace halfarc::cli {
namespace {

struct Options {
  std::vector<std::string> clips;
  std::string kind;
  double scale = 0.0;
};

Result<void> check(const Options& options, Context& context) {
  CheckOptions how;
  how.kind = clip_kind_named(options.kind);
  HALFARC_TRY(const auto owned, rig_of_owner());
  if (owned) {
    how.optics = clip_optics(owned->rig, owned->train);
    how.scale = how.optics->scale;
    how.scale_source = ScaleSource::rig;
  }
  if (options.scale > 0.0) {
    how.scale = PlateScale::arcsec_per_px(options.scale);
    how.scale_source = ScaleSource::given;
    if (how.optics) how.optics->scale = *how.scale;
  }
  how.threads = context.threads;
  std::vector<ClipCheck> checks;
  for (const std::string& clip : options.clips) {
    HALFARC_TRY(ClipCheck one, check_clip(clip, how, *context.progress));
    if (!context.json) HALFARC_CHECK(context.print(check_words(one)));
    checks.push_back(std::move(one));
  }
  return context.json ? context.print(check_json(checks)) : Result<void>();
}

}  // namespace

void add_check(CLI::App& app, Context& context) {
  const auto options = std::make_shared<Options>();
  CLI::App* command = add_command(app, context, "check", "Say what short recordings show, and what to do about it.",
                                  "  halfarc check mars.ser\n"
                                  "  halfarc check mars.ser --scale 0.175 --json\n"
                                  "  halfarc check collimate-3.ser --as star\n",
                                  [options](Context& c) { return check(*options, c); });
  command->add_option("CLIP", options->clips, "A recording: a file or a folder")->required();
  command->add_option("--as", options->kind, "What it shows, when halfarc takes it for something else")
      ->check(CLI::IsMember({"planet", "star", "surface", "bright"}));
  command
      ->add_option("--scale", options->scale,
                   "Arcseconds a pixel (default: that of rig.toml; without either, lengths stay in pixels)")
      ->check(CLI::Range(0.01, 20.0))
      ->type_name("ARCSEC");
  add_json_flag(*command, context);
}

}  // namespace halfarc::cli
