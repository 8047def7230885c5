// An observation as a page to print: the picture with its orientation drawn on it and its data beside it.
#pragma once

#include <string>

#include "halfarc/report/observation.h"

namespace halfarc {

// The picture as it goes into the page.
struct ReportPicture {
  std::string png;  // the file's bytes
  int width = 0;    // pixels
  int height = 0;
};

// One HTML file that needs nothing beside it. Without a picture the data stand alone.
std::string observation_page(const Observation& observation, const ReportPicture& picture);

// The picture with arrows to north and to the preceding side where they are known, a bar of whole arcseconds, and the
// data block, as SVG of its own size; for pages and for publication.
std::string picture_with_data(const Observation& observation, const ReportPicture& picture);

}  // namespace halfarc
