// Trends: what the seasons say about telescope and sky, each as a mean with its standard error, for the next prediction
// to take.
//
// Readings of one night share what that night did to all of them, so a night counts as one: its readings are averaged
// by their errors first, then the nights. Where nights differ by more than their errors allow, that scatter is added to
// the errors (random effects) [DerSimonianLaird1986].
#pragma once

#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "halfarc/app/owner_log.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/result.h"
#include "halfarc/logbook/readings.h"

namespace halfarc {

struct Trend {
  std::string name;  // of the reading
  std::string unit;
  Measured<double> mean;
  double scatter = 0.0;   // one sigma from night to night, beyond the readings' own errors
  std::size_t count = 0;  // readings
  std::size_t nights = 0;
};

// The mean of a few measured numbers by the random effects model: weights 1 / (sigma^2 + scatter^2).
// Valid: at least one value, sigmas above 0. Accuracy: z-scores of unit spread within 15 % for twelve nights or more;
// fewer leave the scatter itself uncertain. Source: [DerSimonianLaird1986].
struct Pooled {
  Measured<double> mean;
  double scatter = 0.0;
};
Pooled pool(std::span<const Measured<double>> values);

// The trend of readings, nights first; readings without an error above 0 are passed over, and nothing when none is
// left. With `period` (360 for degrees), values are taken to lie on a circle.
std::optional<Trend> trend_of(std::string name, std::string unit, std::span<const DatedReading> readings,
                              double period = 0.0);

// A trend for a part of the hours or winds, from `from` up to `to`.
struct BinnedTrend {
  double from = 0.0, to = 0.0;
  Trend trend;
};

// By the hour of local mean solar time at the site, from noon on: 18 to 36, an hour a bin; of those with a reading.
std::vector<BinnedTrend> by_hour(std::string name, std::string unit, std::span<const DatedReading> readings);

// By the wind as noted: 0, 2, 4, 6, 9 m/s and more.
std::vector<BinnedTrend> by_wind(std::string name, std::string unit, std::span<const DatedReading> readings);

// What the logbook says of one rig and its sky.
struct Trends {
  std::optional<Trend> scale;          // arcsec/px, of the rig as it is now
  std::optional<Trend> camera_angle;   // deg, of the rig as it is now
  std::optional<Trend> knob;           // waves of defocus a turn, of the telescope
  std::optional<Trend> time_constant;  // min, of the mirror: from cooling.csv
  std::optional<Trend> seeing;         // arcsec, overhead; all sites and rigs
  std::vector<BinnedTrend> seeing_by_hour;
  std::vector<BinnedTrend> seeing_by_wind;
};

// The hour of local mean solar time, from noon on: 12 to 36. Longitude east.
double solar_hour(Utc utc, Angle longitude);

// `rig` as the logbook numbers it; without one all rigs are taken together. `home` for its cooling.csv.
// Errors: those of the files.
Result<Trends> trends_of(const Database& database, std::optional<std::int64_t> rig, const std::filesystem::path& home);

}  // namespace halfarc
