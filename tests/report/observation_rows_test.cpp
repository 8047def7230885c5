#include "halfarc/report/observation_rows.h"

#include <gtest/gtest.h>

#include "jupiter.h"

namespace halfarc {
namespace {

std::string value_of(const Observation& observation, const std::string& label) {
  for (const ReportSection& section : sections_of(observation)) {
    for (const ReportRow& row : section.rows) {
      if (row.label == label) return row.value;
    }
  }
  return {};
}

TEST(ObservationRows, GiveTheTimeAsPositionWorkAsksForIt) {
  EXPECT_EQ(report_time(Utc::civil(2003, 3, 3, 7, 5, 30.0).value()), "2003 Mar 03 07:05.5 UT");
  // A clock never shows minute 60.
  EXPECT_EQ(report_time(Utc::civil(2026, 11, 26, 4, 59, 59.9).value()), "2026 Nov 26 04:59.9 UT");
}

TEST(ObservationRows, SayEachFieldInItsUnit) {
  const Observation o = testing::full_observation();
  EXPECT_EQ(value_of(o, "Central meridian"), "I 123.4°, II 7.0°");
  EXPECT_EQ(value_of(o, "Place"), "Kelderhaven, 57.10° N, 2.10° W, 12 m");
  EXPECT_EQ(value_of(o, "Span"), "88 s");
  EXPECT_EQ(value_of(o, "Focal ratio"), "f/20.0, effective");
  EXPECT_EQ(value_of(o, "Frames used"), "2100 of 10560");
  EXPECT_EQ(value_of(o, "Derotated"), "12.0 min turned back to the middle");
  EXPECT_EQ(value_of(o, "Seeing"),
            "1.50 ± 0.10\" at the zenith, 500 nm (from the frames); about III on the scale of Antoniadi");
  EXPECT_EQ(value_of(o, "Orientation"), "celestial north 190° clockwise from up; not mirrored");
}

TEST(ObservationRows, LeaveOutWhatIsNotKnown) {
  Observation o;
  o.object = "Mars";
  o.aperture = Length::mm(203.0);
  for (const ReportSection& section : sections_of(o)) {
    EXPECT_FALSE(section.rows.empty());
    for (const ReportRow& row : section.rows) EXPECT_FALSE(row.value.empty()) << row.label;
  }
  EXPECT_EQ(value_of(o, "Seeing"), "");
  EXPECT_EQ(value_of(o, "Frames used"), "");
}

}  // namespace
}  // namespace halfarc
