// An observation as rows of a form: what every written report is made of.
#pragma once

#include <string>
#include <vector>

#include "halfarc/report/observation.h"

namespace halfarc {

struct ReportRow {
  std::string label;
  std::string value;
};

struct ReportSection {
  std::string title;
  std::vector<ReportRow> rows;  // never empty
};

// In the order of a form: what and when, where and with what, how the disc stood, how it was taken, what was done.
// What is not known has no row.
std::vector<ReportSection> sections_of(const Observation& observation);

// "2026 Nov 26 04:12.3 UT": month in letters, tenths of a minute, as position work asks for. Valid: any time.
std::string report_time(Utc utc);

// "I 123.4°, II 12.3°".
std::string meridian_words(const std::vector<CentralMeridian>& meridians);

}  // namespace halfarc
