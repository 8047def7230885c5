#include "halfarc/app/image_report.h"

#include "halfarc/app/report_image.h"

namespace halfarc {

Result<std::string> image_report(const std::filesystem::path& home, const std::filesystem::path& image,
                                 const std::string& form) {
  ReportRequest request;
  request.image = image;
  HALFARC_TRY(request.place, site_of_home(home));
  HALFARC_TRY(request.rig, solved_rig_of_home(home));
  HALFARC_TRY(const Observation observation, report_image(request));
  return report_as(form, observation, image);
}

}  // namespace halfarc
