#include "clip_options.h"

#include "halfarc/app/learned.h"
#include "halfarc/app/logged_adviser.h"
#include "halfarc/app/rig_optics.h"
#include "halfarc/app/when.h"
#include "halfarc/sky/body.h"
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
  command.add_option("--target", words.target, "The planet it shows: its ephemeris gives scale and camera angle")
      ->type_name("BODY");
  command.add_option("--at", words.at, "When it was taken, UTC (default: by the clip's own times)")->type_name("UTC");
  command.add_option("--site", words.site, "Place of the telescope (default: that of site.toml, see init)")
      ->type_name("LAT,LON,HEIGHT");
  command.add_option("--key", words.key, "The handset's key that was pressed during the clip: gives the camera angle")
      ->check(CLI::IsMember({"up", "down", "left", "right"}));
  command.add_flag("--stopped", words.stopped,
                   "The mount stood still: the sky's turning gives scale and camera angle (needs --target)");
  command.add_flag("--mirrored", words.mirrored, "The picture is mirrored, as by a star diagonal");
}

namespace {

// What is said of target, time, place and mount, with the owner's rig.
Result<GeometryAsked> geometry_of(const ClipWords& words, const std::optional<SolvedRig>& owned) {
  GeometryAsked asked;
  if (!words.target.empty()) {
    HALFARC_TRY(asked.target, sky::parse_body(words.target));
  }
  // Without a word of either the sky is asked where a site is at hand and the recording says what it shows.
  HALFARC_TRY(const auto written, site_of_home(home_of_owner()));
  if (!words.target.empty() || !words.site.empty() || written) {
    HALFARC_TRY(const Here here, find_here(words.site, home_of_owner()));
    asked.site = here.place.site;
  }
  if (!words.at.empty()) {
    HALFARC_TRY(asked.at, parse_when(words.at, Utc::now()));
  }
  asked.mirrored = words.mirrored;
  asked.mount_stopped = words.stopped;
  if (words.key == "up") asked.key = Key::up;
  if (words.key == "down") asked.key = Key::down;
  if (words.key == "left") asked.key = Key::left;
  if (words.key == "right") asked.key = Key::right;
  if (owned) {
    asked.rig = owned->rig;
    asked.train = owned->train;
  }
  return asked;
}

}  // namespace

Result<CheckOptions> clip_options(const ClipWords& words, Threads threads) {
  CheckOptions how;
  how.kind = clip_kind_named(words.kind);
  HALFARC_TRY(const auto owned, rig_of_owner());
  if (owned) {
    how.optics = clip_optics(owned->rig, owned->train);
    const ScaleOfRig scale = scale_of_rig(owned->rig, owned->train, home_of_owner());
    how.optics->scale = scale.scale;
    how.scale = scale.scale;
    how.scale_source = scale.source;
    how.advise = logged_adviser(home_of_owner(), owned->rig, owned->train);
  }
  HALFARC_TRY(how.geometry, geometry_of(words, owned));
  if (words.scale > 0.0) {
    how.scale = PlateScale::arcsec_per_px(words.scale);
    how.scale_source = ScaleSource::given;
    if (how.optics) how.optics->scale = *how.scale;
  }
  how.threads = threads;
  return how;
}

}  // namespace halfarc::cli
