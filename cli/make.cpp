// halfarc make RUN... -o IMAGE.fits
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "commands.h"
#include "halfarc/app/keep_log.h"
#include "halfarc/app/learned.h"
#include "halfarc/app/make_document.h"
#include "halfarc/app/make_image.h"
#include "halfarc/app/when.h"
#include "here.h"
#include "keep.h"

namespace halfarc::cli {
namespace {

struct Options {
  std::vector<std::string> runs;
  std::string output;
  double scale = 0.0;
  double aperture_mm = 0.0;
  double obstruction = -1.0;
  double keep_percent = 0.0;
  std::string detail = "as-measured";
  bool no_log = false;
  std::string target;
  std::string at_mid;
  std::optional<double> north_deg;
  bool mirrored = false;
  bool equatorial = false;
  std::string site;
  bool flashes = false;
};

double strength_of(const std::string& detail) {
  if (detail == "softer") return 0.8;
  if (detail == "harder") return 1.2;
  return 1.0;
}

// What was typed, else what rig.toml says, else the rig of the examples.
Result<void> choose_aperture(const Options& options, MakeOptions& make) {
  HALFARC_TRY(const auto owned, rig_of_owner());
  if (owned) {
    const ScaleOfRig scale = scale_of_rig(owned->rig, owned->train, home_of_owner());
    make.aperture = {owned->train.pupil, scale.scale};
    make.scale_source = scale.source;
  }
  if (options.scale > 0.0) {
    make.aperture.scale = PlateScale::arcsec_per_px(options.scale);
    make.scale_source = ScaleSource::given;
  }
  if (options.aperture_mm > 0.0) make.aperture.pupil.diameter = Length::mm(options.aperture_mm);
  if (options.obstruction >= 0.0) make.aperture.pupil.obstruction = options.obstruction;
  return {};
}

// What turned meanwhile, when a target was named.
Result<std::optional<DerotateRequest>> choose_turning(const Options& options, const Aperture& aperture) {
  if (options.target.empty()) return std::optional<DerotateRequest>();
  DerotateRequest request;
  HALFARC_TRY(request.body, sky::parse_body(options.target));
  HALFARC_TRY(const Here here, find_here(options.site, home_of_owner()));
  request.site = here.place.site;
  if (!options.at_mid.empty()) {
    HALFARC_TRY(request.at, parse_when(options.at_mid, Utc::now()));
  }
  if (options.north_deg) request.north = Angle::deg(*options.north_deg);
  request.mirrored = options.mirrored;
  request.mount = options.equatorial ? MountKind::equatorial : MountKind::altitude_azimuth;
  request.aperture = aperture;
  return std::optional(request);
}

Result<void> make(const Options& options, Context& context) {
  MakeOptions make;
  make.runs.assign(options.runs.begin(), options.runs.end());
  make.output = options.output;
  HALFARC_CHECK(choose_aperture(options, make));
  HALFARC_TRY(make.derotate, choose_turning(options, make.aperture));
  make.kept_fraction = options.keep_percent / 100.0;
  make.strength = strength_of(options.detail);
  make.flashes = options.flashes;
  make.threads = context.threads;
  HALFARC_TRY(const FinishedImage image, make_image(make, *context.progress));
  HALFARC_CHECK(context.print(context.json ? make_json(image.made) : make_words(image.made)));
  keep_in_log(options.no_log, [&](OwnerLog& log, Utc now) { return keep_image(log, image.made, now); });
  return {};
}

}  // namespace

void add_make(CLI::App& app, Context& context) {
  const auto options = std::make_shared<Options>();
  CLI::App* command = add_command(app, context, "make", "Turn runs into a finished image with its proof.",
                                  "  halfarc make run-14.ser -o mars.fits\n"
                                  "  halfarc make run-14.ser run-15.ser -o mars.fits --scale 0.175 --json\n"
                                  "  halfarc make jup-*.ser -o jupiter.fits --target jupiter\n",
                                  [options](Context& c) { return make(*options, c); });
  command->add_option("RUN", options->runs, "A recording: a file or a folder; several are combined")->required();
  command->add_option("-o,--output", options->output, "The FITS image; a .tif and a .png are written beside it")
      ->required()
      ->type_name("IMAGE.fits");
  command->add_option("--scale", options->scale, "Arcseconds a pixel (default: that of rig.toml, see init)")
      ->check(CLI::Range(0.01, 20.0))
      ->type_name("ARCSEC");
  command->add_option("--aperture", options->aperture_mm, "Aperture in mm (default: that of rig.toml)")
      ->check(CLI::Range(20.0, 3000.0))
      ->type_name("MM");
  command
      ->add_option("--obstruction", options->obstruction,
                   "Central obstruction, of the diameter (default: that of rig.toml)")
      ->check(CLI::Range(0.0, 0.7))
      ->type_name("SHARE");
  command
      ->add_option("--keep", options->keep_percent, "Keep this much of the frames (default: what carries most detail)")
      ->check(CLI::Range(0.1, 100.0))
      ->type_name("PERCENT");
  command->add_option("--detail", options->detail, "softer, as-measured or harder (default: as-measured)")
      ->check(CLI::IsMember({"softer", "as-measured", "harder"}));
  command
      ->add_option("--target", options->target,
                   "The planet: its spin and the field's turning are undone, all runs brought to one instant")
      ->type_name("BODY");
  CLI::Option* target = command->get_option("--target");
  command->add_option("--at-mid", options->at_mid, "That instant (default: the middle of all runs)")
      ->needs(target)
      ->type_name("UTC");
  command
      ->add_option("--north", options->north_deg,
                   "Where the planet's north lies on the image then, clockwise from up (default: from the data)")
      ->check(CLI::Range(-360.0, 360.0))
      ->needs(target)
      ->type_name("DEG");
  command->add_flag("--mirrored", options->mirrored, "The image is mirrored, as behind a star diagonal")->needs(target);
  command->add_flag("--equatorial", options->equatorial, "The mount follows the sky: the field does not turn")
      ->needs(target);
  command->add_option("--site", options->site, "Place of the telescope (default: that of site.toml, see init)")
      ->needs(target)
      ->type_name("LAT,LON,HEIGHT");
  command->add_flag("--flashes", options->flashes,
                    "Look for short flashes in every frame; a strip of pictures is written of each");
  add_no_log_flag(*command, options->no_log);
  add_json_flag(*command, context);
}

}  // namespace halfarc::cli
