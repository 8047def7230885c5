// Learned: what the logbook teaches the next prediction, as a value and what the next night may differ from it by.
//
// A mean of seasons is surer than any one night: a prediction for one takes the scatter from night to night along.
// Where there is no logbook yet, or none that can be read, nothing is learned, and the rig or common practice speaks.
#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>

#include "halfarc/app/rig.h"
#include "halfarc/app/trends.h"
#include "halfarc/base/angle.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/pixel.h"
#include "halfarc/base/utc.h"

namespace halfarc {

// The next value of a trend. `usual_scatter` stands in for the scatter that fewer than three nights cannot tell.
Measured<double> next_of(const Trend& trend, double usual_scatter);

// The scale at the sensor: what planets, moons and drifts told of the rig as it is now, if that is within 15 % of what
// the rig says of itself; else the rig's own.
struct ScaleOfRig {
  PlateScale scale;
  ScaleSource source = ScaleSource::rig;
};
ScaleOfRig scale_of_rig(const Rig& rig, const TrainSolution& train, const std::filesystem::path& home);

// The seeing to expect overhead: of that hour of the night when three nights tell, else of all.
struct ExpectedSeeing {
  Measured<Angle> fwhm;  // long exposure at 500 nm
  std::size_t nights = 0;
  bool of_the_hour = false;

  std::string words() const;  // "Seeing of 1.8 +- 0.5\" as the logbook has it, of 4 nights at that hour."
};
std::optional<ExpectedSeeing> expected_seeing(const std::filesystem::path& home, Utc at);

}  // namespace halfarc
