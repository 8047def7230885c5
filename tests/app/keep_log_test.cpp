#include "halfarc/app/keep_log.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <fstream>

#include "halfarc/app/clip_readings.h"
#include "halfarc/app/init_home.h"
#include "halfarc/app/log_document.h"
#include "halfarc/app/log_table.h"
#include "halfarc/app/log_words.h"
#include "halfarc/app/night_history.h"
#include "halfarc/app/night_log.h"
#include "halfarc/app/owner_log.h"
#include "halfarc/app/watch_document.h"
#include "halfarc/frames/fits_cube_writer.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

using testing::HasSubstr;
namespace fs = std::filesystem;

const Utc kEvening = Utc::parse("2026-11-25T21:04Z").value();

ClipCheck ring_clip() {
  ClipCheck check;
  check.recording.path = "/nights/ring, \"best\".ser";
  check.recording.frames = 200;
  check.recording.start = kEvening;
  check.recording.times = {kEvening + Duration::s(10.0), kEvening, kEvening + Duration::s(5.0)};
  check.kind = ClipKind::star;
  Donut donut;
  donut.optics = StarRing();
  donut.optics->coma_x = {0.25, 0.02};
  donut.optics->coma_y = {-0.5, 0.03};
  donut.optics->r0 = {Length::cm(7.0), Length::cm(0.5)};
  check.donut = donut;
  return check;
}

struct Home {
  ScratchFolder folder;
  OwnerLog log = open_owner_log(folder / "home").value();

  NightLog night(const std::string& name) const {
    return night_log(log.database, night_named(log.database, name).value()).value();
  }
};

TEST(KeepLog, ACheckIsARecordingWithItsReadingsInItsNight) {
  Home home;
  ASSERT_TRUE(keep_check(home.log, ring_clip(), Utc()).has_value());
  ASSERT_TRUE(keep_check(home.log, ring_clip(), Utc()).has_value());  // looked at again
  const NightLog night = home.night("2026-11-25");
  ASSERT_EQ(night.recordings.size(), 1U);
  const LoggedRecording& clip = night.recordings[0];
  EXPECT_EQ(clip.row.kind, "star");
  EXPECT_EQ(clip.row.start, kEvening);
  EXPECT_EQ(clip.row.end, kEvening + Duration::s(10.0));
  EXPECT_FALSE(clip.row.rig.has_value());
  const auto coma = std::find_if(clip.readings.begin(), clip.readings.end(),
                                 [](const KeptReading& k) { return k.reading.name == "coma_y"; });
  ASSERT_NE(coma, clip.readings.end());
  EXPECT_EQ(coma->reading.value, -0.5);
  EXPECT_EQ(coma->reading.sigma, 0.03);
  EXPECT_EQ(coma->reading.unit, "waves");
}

fs::path small_cube(const fs::path& path, Utc start) {
  FitsCubeWriter file = FitsCubeWriter::create(path, {.width = 4, .height = 4, .start = start, .exposure = {}}).value();
  EXPECT_TRUE(file.append(std::array<std::byte, 32>{}));
  EXPECT_TRUE(file.finish());
  return path;
}

TEST(KeepLog, ASeriesThroughFocusTellsWhatIsLeftToTurnByItsLastClip) {
  Home home;
  FoundFocus found;
  found.asks = {{small_cube(home.folder / "a.fits", kEvening), 0.3, Approach::counter_clockwise},
                {small_cube(home.folder / "b.fits", kEvening + Duration::minutes(1.0)), 0.1, Approach::clockwise}};
  found.series.points.resize(2);
  found.series.best = {0.2, 0.02};
  found.series.backlash = Measured<double>{0.05, 0.01};
  EXPECT_EQ(keep_focus(home.log, found, Utc()).value(), kEvening + Duration::minutes(1.0));
  const History history = night_history(home.log.database, 1).value();
  const auto left = std::find_if(history.readings.begin(), history.readings.end(),
                                 [](const Reading& r) { return r.what == Reads::focus; });
  ASSERT_NE(left, history.readings.end());
  EXPECT_NEAR(left->x, 0.15, 1e-12);
  EXPECT_EQ(left->arrived, 1.0);
}

TEST(KeepLog, ARecordingWithoutTimesIsDatedByItsFile) {
  Home home;
  ClipCheck check = ring_clip();
  check.recording.times.clear();
  check.recording.start.reset();
  const Utc now = Utc::parse("2020-01-01T21:00Z").value();
  ASSERT_TRUE(keep_check(home.log, check, now).has_value());  // no such file: now
  EXPECT_EQ(home.night("2020-01-01").recordings.at(0).row.start, now);
  check.recording.path = home.folder / "a.ser";
  std::ofstream(check.recording.path) << "frames";
  ASSERT_TRUE(keep_check(home.log, check, now).has_value());
  EXPECT_LT(std::abs((home.night("2").recordings.at(0).row.start - Utc::now()).s()), 60.0);
}

TEST(KeepLog, ATurnSaysWhatToDoNext) {
  Home home;
  const TurnRow turn = keep_turn(home.log, {Control::screw_b, 0.125}, kEvening).value();
  EXPECT_EQ(
      turned_words(turn),
      "Noted at 21:04 UTC: screw-b 1/8 turn clockwise. Next: bring the star back to the middle, record 10 s out of "
      "focus as before, and check it.");
  EXPECT_EQ(turned_of(turn).value(), (Turned{Control::screw_b, 0.125}));
  EXPECT_EQ(home.night("2026-11-25").turns.at(0).unit, "turn");
  EXPECT_THAT(turned_words(keep_turn(home.log, {Control::focus, 0.0}, kEvening).value()),
              HasSubstr("focus left alone"));
  for (const Control control : every_control) {
    const TurnRow any{1, 1, kEvening, std::string(name_of(control)), 2.0, std::string(unit_of(control))};
    EXPECT_THAT(turned_words(any), HasSubstr("Next: "));
    EXPECT_THAT(taken_back_words(any), HasSubstr("No longer noted"));
  }
  EXPECT_FALSE(turned_of({1, 1, kEvening, "antenna", 2.0, "turn"}).has_value());
}

TEST(KeepLog, AnImageStandsWithTheRunsItWasMadeFrom) {
  Home home;
  MadeImage made;
  made.runs = {ring_clip().recording};
  made.reference = kEvening + Duration::s(5.0);
  made.outputs = {"/nights/mars.fits"};
  made.frames_used = 20;
  made.resolved[1] = {Angle::arcsec(0.8), Angle::arcsec(0.05)};
  ASSERT_TRUE(keep_image(home.log, made, Utc()).has_value());
  ASSERT_TRUE(keep_image(home.log, made, Utc()).has_value());
  const NightLog night = home.night("2026-11-25");
  ASSERT_EQ(night.images.size(), 1U);
  EXPECT_NEAR(night.images[0].resolved_arcsec.value(), 0.8, 1e-9);
  EXPECT_EQ(night.recordings.size(), 1U);
}

TEST(KeepLog, SiteAndRigOfTheHomeFolderAreKnown) {
  Home home;
  EXPECT_FALSE(home.log.rig.has_value());
  std::ofstream(home.folder / "home/site.toml") << "name = \"the hill\"\nlatitude_deg = 57.0\nlongitude_deg = 150.0\n";
  std::ofstream(home.folder / "home/rig.toml") << "";
  OwnerLog log = open_owner_log(home.folder / "home").value();
  EXPECT_TRUE(log.site.has_value());
  EXPECT_TRUE(log.rig.has_value());
  EXPECT_EQ(log.date_of(Utc::parse("2026-11-26T03:00Z").value()), "2026-11-26");  // 13:00 there
  EXPECT_EQ(read_owner_log(home.folder / "home")->rig, log.rig);
  std::ofstream(home.folder / "home/rig.toml") << "[telescope]\naperture_mm = \"wide\"\n";
  EXPECT_TRUE(open_owner_log(home.folder / "home").has_value());  // a night is noted all the same
}

TEST(KeepLog, NeedsWordsInANoteAndAFolder) {
  Home home;
  EXPECT_FALSE(keep_note(home.log, " \n", std::nullopt, kEvening).has_value());
  EXPECT_EQ(keep_note(home.log, "haze", 2.5, kEvening)->wind_m_per_s, 2.5);
  EXPECT_FALSE(open_owner_log("").has_value());
  EXPECT_FALSE(night_named(home.log.database, "2027-01-01").has_value());
  EXPECT_FALSE(night_named(home.log.database, "99").has_value());
}

TEST(LogTable, QuotesWhatCommasAndQuotesWouldBreak) {
  Home home;
  ASSERT_TRUE(keep_check(home.log, ring_clip(), Utc()).has_value());
  ASSERT_TRUE(keep_note(home.log, "two\nlines", std::nullopt, kEvening).has_value());
  std::string table;
  const auto sink = [&](std::string_view text) {
    table += text;
    return Result<void>();
  };
  ASSERT_TRUE(export_csv(home.log.database, sink).has_value());
  EXPECT_THAT(table, HasSubstr("night,date,site,utc,what,name,value,sigma,unit,text\r\n"));
  EXPECT_THAT(table, HasSubstr("reading,coma_x,0.25,0.02,waves,\"/nights/ring, \"\"best\"\".ser\"\r\n"));
  EXPECT_THAT(table, HasSubstr("note,wind,,,,\"two\nlines\"\r\n"));
}

TEST(LogWords, ANightIsToldInTheOrderOfItsHours) {
  Home home;
  ASSERT_TRUE(keep_check(home.log, ring_clip(), Utc()).has_value());
  ASSERT_TRUE(keep_turn(home.log, {Control::focus, -0.25}, kEvening + Duration::minutes(2.0)).has_value());
  ASSERT_TRUE(keep_note(home.log, "haze", 2.5, kEvening - Duration::minutes(4.0)).has_value());
  EXPECT_EQ(log_night_words(home.night("2026-11-25")),
            "night 1, 2026-11-25\n"
            "  21:00  note: haze (wind 2.5 m/s)\n"
            "  21:04  ring, \"best\".ser: star, 200 frames; coma across 0.250 ± 0.020 waves, coma up and down -0.500 ± "
            "0.030 waves\n"
            "  21:06  turned focus 1/4 turn counter-clockwise\n");
  EXPECT_EQ(log_list_words(nights(home.log.database, {}).value()), "    1  2026-11-25  1 recording, 1 turn, 1 note\n");
  EXPECT_THAT(log_list_words({}), HasSubstr("no such night"));
}

TEST(WatchDocument, IsOneLine) {
  const std::string line = watch_check_json(ring_clip(), kEvening);
  EXPECT_EQ(line.find('\n'), line.size() - 1);
  EXPECT_THAT(line, HasSubstr("\"schema\":\"halfarc.watch/1\""));
  EXPECT_THAT(watch_said_json("two\nlines", kEvening), HasSubstr("two\\nlines"));
  EXPECT_THAT(watch_error_json("a.ser", bad_input("is empty"), kEvening), HasSubstr("is empty"));
}

}  // namespace
}  // namespace halfarc
