#include "halfarc/logbook/nights.h"

#include <gtest/gtest.h>

#include "halfarc/logbook/images.h"
#include "halfarc/logbook/notes.h"
#include "halfarc/logbook/sites.h"
#include "halfarc/logbook/turns.h"
#include "small_logbook.h"

namespace halfarc {
namespace {

std::string date_at(const char* utc, double longitude) {
  return night_date(Utc::parse(utc).value(), Angle::deg(longitude));
}

TEST(Nights, ANightGoesFromNoonToNoonOfItsPlace) {
  EXPECT_EQ(date_at("2026-11-25T12:00Z", 0.0), "2026-11-25");
  EXPECT_EQ(date_at("2026-11-26T11:59:59Z", 0.0), "2026-11-25");
  EXPECT_EQ(date_at("2026-11-26T12:00Z", 0.0), "2026-11-26");
  EXPECT_EQ(date_at("2026-11-25T21:00Z", 150.0), "2026-11-25");   // 07:00 there, on the 26th
  EXPECT_EQ(date_at("2026-11-26T03:00Z", 150.0), "2026-11-26");   // 13:00 there
  EXPECT_EQ(date_at("2026-11-26T19:00Z", -120.0), "2026-11-25");  // 11:00 there
  EXPECT_EQ(date_at("2028-03-01T05:00Z", 0.0), "2028-02-29");
}

TEST(Nights, OneRowANightAndSite) {
  SmallLogbook book;
  const auto here = put_site(book.database, {"Kelderhaven", 57.1, -2.1, 12.0}).value();
  const auto same = put_site(book.database, {"Kelderhaven", 57.1, -2.1, 12.0}).value();
  const auto there = put_site(book.database, {"the hill", 57.2, -2.2, 240.0}).value();
  EXPECT_EQ(here, same);
  const auto first = put_night(book.database, "2026-11-25", here).value();
  EXPECT_EQ(put_night(book.database, "2026-11-25", here).value(), first);
  EXPECT_NE(put_night(book.database, "2026-11-25", there).value(), first);
  EXPECT_EQ(put_night(book.database, "2026-11-25", std::nullopt).value(), book.night);
}

TEST(Nights, CountsWhatBelongsToThem) {
  SmallLogbook book;
  const auto clip = book.record("mars-1.ser", 5.0);
  book.record("mars-2.ser", 25.0);
  ASSERT_TRUE(add_turn(book.database, {0, book.night, evening(10.0), "focus", 0.25, "turn"}).has_value());
  ASSERT_TRUE(add_note(book.database, {0, book.night, evening(1.0), "haze low down", 2.0}).has_value());
  ImageRow image;
  image.night = book.night;
  image.utc = evening(12.0);
  image.path = "mars.fits";
  ASSERT_TRUE(put_image(book.database, image, std::vector{clip}).has_value());
  ASSERT_TRUE(put_image(book.database, image, std::vector{clip}).has_value());  // made again

  const NightRow row = night(book.database, book.night).value().value();
  EXPECT_EQ(row.date, "2026-11-25");
  EXPECT_EQ(row.recordings, 2);
  EXPECT_EQ(row.turns, 1);
  EXPECT_EQ(row.notes, 1);
  EXPECT_EQ(row.images, 1);
  EXPECT_EQ(row.first, evening(5.0));
  EXPECT_EQ(row.last, evening(25.0));
  EXPECT_FALSE(night(book.database, 99).value().has_value());
}

TEST(Nights, AreChosenByWhatStandsInThem) {
  SmallLogbook book;
  const auto second = put_night(book.database, "2026-11-27", std::nullopt).value();
  const auto third = put_night(book.database, "2026-11-26", std::nullopt).value();
  ASSERT_TRUE(add_note(book.database, {0, second, evening(2900.0), "100% cloud_free", std::nullopt}).has_value());
  book.record("jupiter-1.ser", 0.0);

  const auto ids = [&](const NightChoice& choice) {
    std::vector<std::int64_t> found;
    const auto rows = nights(book.database, choice).value();
    for (const NightRow& row : rows) found.push_back(row.id);
    return found;
  };
  EXPECT_EQ(ids({}), (std::vector{book.night, third, second}));  // by date
  EXPECT_EQ(ids({"", 2}), (std::vector{third, second}));
  EXPECT_EQ(ids({"jupiter", {}}), std::vector{book.night});
  EXPECT_EQ(ids({"JUPITER", {}}), std::vector{book.night});
  EXPECT_EQ(ids({"100% cloud_", {}}), std::vector{second});
  EXPECT_TRUE(ids({"cloud free", {}}).empty());
}

}  // namespace
}  // namespace halfarc
