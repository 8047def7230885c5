// halfarc report IMAGE.fits [--target T] [-o REPORT.html|.txt|.json|.svg]; halfarc report --night N [-o NIGHT.html|...]
#include <memory>
#include <optional>
#include <string>

#include "commands.h"
#include "halfarc/app/report_image.h"
#include "halfarc/app/session_report.h"
#include "halfarc/base/atomic_file.h"
#include "halfarc/report/observation_json.h"
#include "halfarc/report/observation_text.h"
#include "here.h"

namespace halfarc::cli {
namespace {

struct Options {
  ReportRequest said;  // what goes into the report as it was typed
  std::string image, night, output, target, site;
  std::optional<double> exposure_ms, seeing;
};

Result<ReportRequest> asked(const Options& options) {
  ReportRequest request = options.said;
  request.image = options.image;
  if (!options.target.empty()) {
    HALFARC_TRY(request.target, sky::parse_body(options.target));
  }
  HALFARC_TRY(const Here here, find_here(options.site, home_of_owner()));
  // A place that nobody told is nobody's station.
  if (here.caution.empty()) request.place = here.place;
  HALFARC_TRY(request.rig, rig_of_owner());
  if (options.exposure_ms) request.exposure = Duration::ms(*options.exposure_ms);
  if (options.seeing) request.seeing = Angle::arcsec(*options.seeing);
  return request;
}

Result<std::string> in_the_form_of(const std::filesystem::path& output, const Observation& observation,
                                   const std::filesystem::path& image) {
  const std::string ending = output.extension().string();
  for (const char* form : {"txt", "json", "html", "svg"}) {
    if (ending == std::string(".") + form) return report_as(form, observation, image);
  }
  return bad_input("a report has the form .html, .txt, .json or .svg", output.string(), "choose one of these with -o");
}

Result<void> report_night(const Options& options, Context& context) {
  const SessionRequest request{home_of_owner(), options.night, context.threads};
  HALFARC_TRY(const Session session, session_report(request, *context.progress));
  if (!options.output.empty()) {
    const std::string ending = std::filesystem::path(options.output).extension().string();
    HALFARC_TRY(const std::string file, session_as(ending.empty() ? ending : ending.substr(1), session));
    HALFARC_CHECK(write_file(options.output, file));
    if (!context.json) return {};
  }
  HALFARC_TRY(const std::string text, session_as(context.json ? "json" : "txt", session));
  return context.print(text);
}

Result<void> report(const Options& options, Context& context) {
  if (!options.night.empty()) return report_night(options, context);
  if (options.image.empty())
    return Error{ErrorKind::usage, "say which image, or which night", "report", "see `halfarc report --help`"};
  HALFARC_TRY(const ReportRequest request, asked(options));
  HALFARC_TRY(const Observation observation, report_image(request));
  if (!options.output.empty()) {
    HALFARC_TRY(const std::string text, in_the_form_of(options.output, observation, request.image));
    HALFARC_CHECK(write_file(options.output, text));
    if (!context.json) return {};
  }
  return context.print(context.json ? observation_json(observation) : observation_text(observation));
}

}  // namespace

void add_report(CLI::App& app, Context& context) {
  const auto options = std::make_shared<Options>();
  CLI::App* command =
      add_command(app, context, "report", "An observation report of a finished image, or of a whole night.",
                  "  halfarc report mars.fits --target mars --observer \"A. Kelder\"\n"
                  "  halfarc report jupiter.fits -o jupiter.html\n"
                  "  halfarc report jupiter.fits -o jupiter.svg --seeing 1.6\n"
                  "  halfarc report --night 2026-11-25 -o night.html\n",
                  [options](Context& c) { return report(*options, c); });
  CLI::Option* image = command->add_option("IMAGE", options->image, "The FITS image that make wrote");
  command
      ->add_option("--night", options->night,
                   "The whole night instead, from the logbook: its number, or the date of its evening")
      ->excludes(image)
      ->type_name("DATE|N");
  command
      ->add_option("-o,--output", options->output,
                   "A page to print (.html), the picture with its data (.svg), text (.txt) or a document (.json); "
                   "default: text on the screen")
      ->type_name("FILE");
  command->add_option("--target", options->target, "What it shows (default: as the image says)")->type_name("BODY");
  command->add_option("--site", options->site, "Place of the telescope (default: that of site.toml, see init)")
      ->type_name("LAT,LON,HEIGHT");
  command->add_option("--observer", options->said.observer, "Who observed")->type_name("NAME");
  command->add_option("--camera", options->said.camera, "Camera, in your words")->type_name("TEXT");
  command->add_option("--filter", options->said.filter, "Filter, in your words")->type_name("TEXT");
  command->add_option("--corrector", options->said.corrector, "How the dispersion corrector stood")->type_name("TEXT");
  command->add_option("--exposure-ms", options->exposure_ms, "Of one frame (default: as the image says)")
      ->check(CLI::Range(0.001, 600'000.0))
      ->type_name("MS");
  command->add_option("--gain", options->said.gain_e_per_adu, "Electrons an ADU")
      ->check(CLI::Range(1e-6, 1e6))
      ->type_name("E");
  command->add_option("--seeing", options->seeing, "Width of a star in a long exposure, as you judge it")
      ->check(CLI::Range(0.05, 30.0))
      ->type_name("ARCSEC");
  command->add_option("--transparency", options->said.transparency, "In your words, with its scale")->type_name("TEXT");
  command->add_option("--comments", options->said.comments, "What else is to be said")->type_name("TEXT");
  add_json_flag(*command, context);
}

}  // namespace halfarc::cli
