#include "halfarc/app/image_report.h"

#include "halfarc/app/report_image.h"

namespace halfarc {

Result<std::string> image_report(const std::filesystem::path& home, const std::filesystem::path& image,
                                 const std::string& form, std::optional<sky::Body> target) {
  ReportRequest request;
  request.image = image;
  request.target = target;
  HALFARC_TRY(request.place, site_of_home(home));
  HALFARC_TRY(request.rig, solved_rig_of_home(home));
  HALFARC_TRY(const Observation observation, report_image(request));
  return report_as(form, observation, image);
}

}  // namespace halfarc
