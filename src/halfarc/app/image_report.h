// ImageReport: the observation report of an image of the owner's, with nothing typed.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "halfarc/base/result.h"
#include "halfarc/sky/body.h"

namespace halfarc {

// What the image's header tells, with the place and rig of the home folder: "html" (a page to print), "svg" (the
// picture with its data), "txt" or "json". `target` is what it shows,
// where its header does not say. Errors: those of report_image and report_as; of the home folder's files.
Result<std::string> image_report(const std::filesystem::path& home, const std::filesystem::path& image,
                                 const std::string& form, std::optional<sky::Body> target = {});

}  // namespace halfarc
