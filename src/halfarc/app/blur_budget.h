// BlurBudget: all that blurs the picture of one target at one hour, predicted from rig, site and sky, and measured in
// recordings where there are any. The use case behind `halfarc budget`.
//
// Predicted rows say what a careful owner leaves: what is not typed is a usual night, well settled, focused and
// collimated as far as common practice goes, with an error as large as that guess deserves. Recordings replace the rows
// that they can measure.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "halfarc/app/rig.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/parallel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/utc.h"
#include "halfarc/budget/budget.h"
#include "halfarc/sky/body.h"
#include "halfarc/sky/site.h"
#include "halfarc/sky/sun_safety.h"

namespace halfarc {

// What the owner knows, or guesses, of the night and of the telescope's state. Defaults: common practice.
struct TelescopeState {
  Measured<Angle> seeing{Angle::arcsec(1.3),
                         Angle::arcsec(0.5)};  // width of a star at the zenith, 500 nm, long exposure
  Speed wind = Speed::m_per_s(8.0);
  Measured<TemperatureDifference> mirror_over_air{TemperatureDifference::kelvin(0.5),
                                                  TemperatureDifference::kelvin(0.5)};
  Measured<double> defocus_waves{0.12, 0.12};  // at the edge: an eighth of a wave
  Measured<double> coma_waves{0.15, 0.15};     // at the edge
  double lever_error_marks = 0.25;             // of each lever
  std::optional<Duration> exposure;            // nothing: what the rig would choose
  Duration run = Duration::s(60.0);
  double kept = 0.3;  // share of the frames
};

struct BudgetRequest {
  Rig rig;
  sky::Body target = sky::Body::jupiter;
  sky::Site site;
  std::string site_name;
  Utc utc;
  sky::SunRule sun_rule;
  TelescopeState state;
  std::vector<std::filesystem::path> runs;
  Threads threads;
};

struct BlurBudget {
  BudgetRequest asked;
  Angle altitude;  // as seen
  Length wavelength;
  Duration exposure;
  Budget predicted;
  std::optional<Budget> measured;  // the same with what the recordings say; when there are any
  std::vector<std::string> notes;
};

// Valid: a target above 5 deg. Accuracy: that of its guesses, which each row carries.
// Errors: the Sun's rules (refused); a target below the horizon; runs that cannot be read or hold nothing.
Result<BlurBudget> blur_budget(const BudgetRequest& request, Progress& progress);

}  // namespace halfarc
