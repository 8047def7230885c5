// Readings: what a recording says, a row a number, by its name ("seeing_fwhm", "coma_x"), with unit and standard error.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "halfarc/logbook/database.h"

namespace halfarc {

struct ReadingRow {
  std::string name;
  double value = 0.0;
  std::optional<double> sigma;  // counts and shares have none
  std::string unit;             // empty for a pure number
};

// Makes these the readings that `reader` ("check", "focus", "make") took of that recording: reading it again replaces
// what was read before, so that nothing counts twice. Numbers that are not finite are left out.
// Errors: a recording that is not there; those of the file.
Result<void> replace_readings(Database& database, std::int64_t recording, std::string_view reader,
                              std::span<const ReadingRow> readings);

struct KeptReading {
  std::int64_t recording = 0;
  std::string reader;
  ReadingRow reading;
};

// All readings of one night, by recording. Errors: those of the file.
Result<std::vector<KeptReading>> readings_of(const Database& database, std::int64_t night);

// One quantity over the seasons.
struct DatedReading {
  std::int64_t night = 0;
  Utc utc;               // start of the recording
  double longitude_deg;  // of the site; 0 where none is known
  double value = 0.0;
  double sigma = 0.0;
  std::optional<double> wind_m_per_s;  // as noted last in that night, up to three hours before
};

// Of which telescope: everything when neither is given.
struct RigChoice {
  std::optional<std::int64_t> rig;        // this rig as it is now: for what depends on the train
  std::optional<std::int64_t> telescope;  // any rig of that one's name and aperture: for screws and knob
};

// Every reading of that name that has a standard error, in order of time. Errors: those of the file.
Result<std::vector<DatedReading>> readings_named(const Database& database, std::string_view name,
                                                 const RigChoice& choice);

}  // namespace halfarc
