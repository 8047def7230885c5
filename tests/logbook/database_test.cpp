#include "halfarc/logbook/database.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <limits>
#include <thread>

#include "halfarc/logbook/notes.h"
#include "small_logbook.h"

namespace halfarc {
namespace {

TEST(Database, GivesBackWhatWasBoundToTheLastBit) {
  SmallLogbook book;
  const std::string text("a \0 b \" ' ; é", 14);
  const double tenth = 0.1;
  const auto largest = std::numeric_limits<std::int64_t>::max();
  auto row = book.database.ask("SELECT ?, ?, ?, ?, ?", text, tenth, largest, Utc::unix_ns(-1), std::optional<double>());
  ASSERT_TRUE(row.has_value());
  ASSERT_TRUE(row->next().value());
  EXPECT_EQ(row->text(0), text);
  EXPECT_EQ(row->real(1), tenth);
  EXPECT_EQ(row->integer(2), largest);
  EXPECT_EQ(row->utc(3), Utc::unix_ns(-1));
  EXPECT_TRUE(row->is_null(4));
  EXPECT_EQ(row->maybe_real(4), std::nullopt);
  EXPECT_FALSE(row->next().value());
}

TEST(Database, KeepsItsPromisesToTheDisk) {
  SmallLogbook book;
  EXPECT_EQ(book.database.number("PRAGMA synchronous").value(), 2);  // FULL
  EXPECT_EQ(book.database.number("PRAGMA foreign_keys").value(), 1);
  auto mode = book.database.ask("PRAGMA journal_mode");
  ASSERT_TRUE(mode->next().value());
  EXPECT_EQ(mode->text(0), "wal");
}

TEST(Database, RefusesANightThatIsNotThere) {
  SmallLogbook book;
  NoteRow note;
  note.night = 99;
  EXPECT_FALSE(add_note(book.database, note).has_value());
}

TEST(Database, ATransactionThatIsNotCommittedLeavesNothing) {
  SmallLogbook book;
  {
    auto together = Transaction::begin(book.database);
    ASSERT_TRUE(together.has_value());
    book.record("a.ser", 0.0);
  }
  EXPECT_EQ(book.database.number("SELECT count(*) FROM recordings").value(), 0);
}

TEST(Database, TwoWritersWaitForEachOther) {
  SmallLogbook book;
  const auto write = [&](const char* name) {
    Database own = open_logbook(book.folder / "logbook.db", Access::write).value();
    for (int i = 0; i < 100; ++i)
      EXPECT_TRUE(add_note(own, {0, book.night, evening(i), name, std::nullopt}).has_value());
  };
  std::thread first(write, "first"), second(write, "second");
  first.join();
  second.join();
  EXPECT_EQ(notes_of(book.database, book.night)->size(), 200U);
}

TEST(Database, SaysInOneLineWhatIsWrongWithAFile) {
  const ScratchFolder folder;
  std::ofstream(folder / "text.db") << "this is a letter to my aunt, and she has all the time in the world\n";
  std::filesystem::create_directory(folder / "folder.db");
  const auto what = [&](const char* name, Access access) {
    const auto opened = open_logbook(folder / name, access);
    return opened ? std::string("opened") : opened.error().line();
  };
  for (const Access access : {Access::write, Access::read}) {
    EXPECT_THAT(what("text.db", access), testing::HasSubstr("is not a logbook"));
    EXPECT_THAT(what("folder.db", access), testing::HasSubstr("is a folder"));
  }
  EXPECT_THAT(what("absent.db", Access::read), testing::HasSubstr("no logbook yet"));
  EXPECT_THAT(what("nowhere/absent.db", Access::write), testing::HasSubstr("cannot be opened"));
}

TEST(Database, ATruncatedFileIsSaidToBeDamaged) {
  SmallLogbook book;
  auto together = Transaction::begin(book.database);
  for (int i = 0; i < 400; ++i)
    ASSERT_TRUE(add_note(book.database, {0, book.night, evening(i), std::string(200, 'x'), std::nullopt}).has_value());
  ASSERT_TRUE(together->commit().has_value());
  ASSERT_TRUE(book.database.run_script("PRAGMA wal_checkpoint(TRUNCATE)").has_value());
  const auto copy = book.folder / "short.db";
  std::filesystem::copy_file(book.folder / "logbook.db", copy);
  std::filesystem::resize_file(copy, std::filesystem::file_size(copy) / 2);
  auto opened = open_logbook(copy, Access::write);
  const auto read = opened ? notes_of(*opened, book.night) : Result<std::vector<NoteRow>>(opened.error());
  ASSERT_FALSE(read.has_value());
  EXPECT_THAT(read.error().line(), testing::HasSubstr("is damaged"));
  EXPECT_THAT(read.error().line(), testing::HasSubstr("short.db"));
}

TEST(Database, AnyNameMayHoldIt) {
  const ScratchFolder folder;
  const auto odd = folder / "50% of? a #night é.db";
  ASSERT_TRUE(open_logbook(odd, Access::write).has_value());
  EXPECT_TRUE(std::filesystem::exists(odd));
}

}  // namespace
}  // namespace halfarc
