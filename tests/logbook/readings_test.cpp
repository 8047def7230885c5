#include "halfarc/logbook/readings.h"

#include <gtest/gtest.h>

#include <limits>

#include "halfarc/logbook/notes.h"
#include "halfarc/logbook/sites.h"
#include "small_logbook.h"

namespace halfarc {
namespace {

TEST(Readings, ReadingAgainReplacesWhatTheSameReaderSaid) {
  SmallLogbook book;
  const auto clip = book.record("a.ser", 0.0);
  const std::vector<ReadingRow> before{{"seeing_fwhm", 2.0, 0.2, "arcsec"}, {"peak_fraction", 0.5, std::nullopt, ""}};
  const std::vector<ReadingRow> after{{"seeing_fwhm", 1.9, 0.1, "arcsec"}};
  const std::vector<ReadingRow> focus{{"focus_to_turn", 0.1, 0.02, "turn"}};
  ASSERT_TRUE(replace_readings(book.database, clip, "check", before).has_value());
  ASSERT_TRUE(replace_readings(book.database, clip, "focus", focus).has_value());
  ASSERT_TRUE(replace_readings(book.database, clip, "check", after).has_value());

  const auto kept = readings_of(book.database, book.night).value();
  ASSERT_EQ(kept.size(), 2U);
  EXPECT_EQ(kept[0].reader, "check");
  EXPECT_EQ(kept[0].reading.value, 1.9);
  EXPECT_EQ(kept[0].reading.sigma, 0.1);
  EXPECT_EQ(kept[1].reading.name, "focus_to_turn");
}

TEST(Readings, WhatIsNoNumberIsLeftOut) {
  SmallLogbook book;
  const auto clip = book.record("a.ser", 0.0);
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const double inf = std::numeric_limits<double>::infinity();
  const std::vector<ReadingRow> rows{{"a", nan, 0.1, ""}, {"b", 1.0, inf, ""}, {"c", 1.0, 0.1, ""}};
  ASSERT_TRUE(replace_readings(book.database, clip, "check", rows).has_value());
  EXPECT_EQ(readings_of(book.database, book.night)->size(), 1U);
}

TEST(Readings, OfOneNameOverTheSeasonsByRigAndWithTheWindOfTheHour) {
  SmallLogbook book;
  const auto wide = put_rig(book.database, {"the big one", 203.0, 2030.0, 0.35}).value();
  const auto narrow = put_rig(book.database, {"the big one", 203.0, 4060.0, 0.175}).value();
  const auto other = put_rig(book.database, {"the small one", 120.0, 840.0, 0.8}).value();
  ASSERT_TRUE(add_note(book.database, {0, book.night, evening(-200.0), "storm", 15.0}).has_value());
  ASSERT_TRUE(add_note(book.database, {0, book.night, evening(5.0), "a breeze", 3.0}).has_value());
  ASSERT_TRUE(add_note(book.database, {0, book.night, evening(25.0), "calm", 0.0}).has_value());
  double value = 0.0;
  for (const auto& [rig, minutes] : {std::pair{wide, 0.0}, {narrow, 10.0}, {other, 30.0}, {wide, 40.0}}) {
    const auto clip = book.record("clip", minutes, rig);
    const std::vector<ReadingRow> rows{{"scale", value += 1.0, 0.1, "arcsec/px"}};
    ASSERT_TRUE(replace_readings(book.database, clip, "check", rows).has_value());
  }
  const auto values = [&](const RigChoice& choice) {
    std::vector<double> found;
    const auto readings = readings_named(book.database, "scale", choice).value();
    for (const DatedReading& r : readings) found.push_back(r.value);
    return found;
  };
  EXPECT_EQ(values({}), (std::vector{1.0, 2.0, 3.0, 4.0}));
  EXPECT_EQ(values({wide, {}}), (std::vector{1.0, 4.0}));
  EXPECT_EQ(values({{}, narrow}), (std::vector{1.0, 2.0, 4.0}));

  const auto all = readings_named(book.database, "scale", {}).value();
  EXPECT_EQ(all[0].wind_m_per_s, std::nullopt);  // the storm was more than three hours ago
  EXPECT_EQ(all[1].wind_m_per_s, 3.0);
  EXPECT_EQ(all[2].wind_m_per_s, 0.0);
}

}  // namespace
}  // namespace halfarc
