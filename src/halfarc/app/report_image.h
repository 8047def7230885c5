// Report of an image: what its header tells, joined with place, rig and sky into an observation (report/). The use case
// behind `halfarc report`.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "halfarc/app/here.h"
#include "halfarc/app/home.h"
#include "halfarc/base/angle.h"
#include "halfarc/base/duration.h"
#include "halfarc/base/result.h"
#include "halfarc/report/observation.h"
#include "halfarc/report/observation_page.h"
#include "halfarc/sky/body.h"

namespace halfarc {

// What no file tells. Empty or absent: left out of the report.
struct ReportRequest {
  std::filesystem::path image;      // the FITS that `make` wrote
  std::optional<sky::Body> target;  // nothing: as the header names it
  std::optional<NamedSite> place;   // nothing: no station and no altitude
  std::optional<SolvedRig> rig;
  std::string observer, camera, filter, corrector, transparency, comments;
  std::optional<Duration> exposure;
  std::optional<double> gain_e_per_adu;
  std::optional<Angle> seeing;  // long-exposure width that the observer states
};

// How the disc looked and how high it stood need a place, and which way north lies an image that was turned for a
// planet: what cannot be known is left out.
// Errors (bad input): no FITS; no middle time in it; no target said or written; a target that has no disc to report.
Result<Observation> report_image(const ReportRequest& request);

// The PNG beside the image. Errors (bad input): it is not there, or is no PNG.
Result<ReportPicture> report_picture(const std::filesystem::path& image);

// The report in a form: "html" (a page to print), "svg" (the picture with its data), "txt" or "json". `image` is the
// one reported. Errors (bad input): no such form; those of report_picture.
Result<std::string> report_as(const std::string& form, const Observation& observation,
                              const std::filesystem::path& image);

}  // namespace halfarc
