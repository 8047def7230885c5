#include "clip_options.h"

#include "halfarc/app/clip_advice.h"
#include "halfarc/app/rig_optics.h"
#include "here.h"

namespace halfarc::cli {

void add_clip_options(CLI::App& command, ClipWords& words) {
  command.add_option("--as", words.kind, "What it shows, when halfarc takes it for something else")
      ->check(CLI::IsMember({"planet", "star", "surface", "bright"}));
  command
      .add_option("--scale", words.scale,
                  "Arcseconds a pixel (default: that of rig.toml; without either, lengths stay in pixels)")
      ->check(CLI::Range(0.01, 20.0))
      ->type_name("ARCSEC");
}

Result<CheckOptions> clip_options(const ClipWords& words, Threads threads) {
  CheckOptions how;
  how.kind = clip_kind_named(words.kind);
  HALFARC_TRY(const auto owned, rig_of_owner());
  if (owned) {
    how.optics = clip_optics(owned->rig, owned->train);
    how.scale = how.optics->scale;
    how.scale_source = ScaleSource::rig;
    how.advise = clip_adviser(owned->rig, owned->train);
  }
  if (words.scale > 0.0) {
    how.scale = PlateScale::arcsec_per_px(words.scale);
    how.scale_source = ScaleSource::given;
    if (how.optics) how.optics->scale = *how.scale;
  }
  how.threads = threads;
  return how;
}

}  // namespace halfarc::cli
