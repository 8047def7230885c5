// A logbook of one night, for tests.
#pragma once

#include <gtest/gtest.h>

#include "halfarc/logbook/nights.h"
#include "halfarc/logbook/recordings.h"
#include "halfarc/logbook/schema.h"
#include "scratch_folder.h"

namespace halfarc {

inline Utc evening(double minutes) { return Utc::parse("2026-11-25T20:00Z").value() + Duration::minutes(minutes); }

struct SmallLogbook {
  ScratchFolder folder;
  Database database = open_logbook(folder / "logbook.db", Access::write).value();
  std::int64_t night = put_night(database, "2026-11-25", std::nullopt).value();

  // A recording that starts so many minutes after 20:00.
  std::int64_t record(const std::string& path, double minutes, std::optional<std::int64_t> rig = std::nullopt) {
    RecordingRow row;
    row.night = night;
    row.rig = rig;
    row.path = path;
    row.start = evening(minutes);
    row.kind = "planet";
    return put_recording(database, row).value();
  }
};

}  // namespace halfarc
