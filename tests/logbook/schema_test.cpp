#include "halfarc/logbook/schema.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <thread>
#include <vector>

#include "scratch_folder.h"

namespace halfarc {
namespace {

const std::vector<std::string> kOne{"CREATE TABLE a (x INTEGER); INSERT INTO a VALUES (7)"};
const std::vector<std::string> kTwo{kOne.front(), "ALTER TABLE a ADD COLUMN y INTEGER DEFAULT 3"};
const std::vector<std::string> kBroken{kOne.front(), "CREATE TABLE b (x INTEGER)", "this is no SQL"};

Database old_logbook(const std::filesystem::path& file) {
  Database database = Database::open(file, Access::write).value();
  EXPECT_TRUE(migrate(database, kOne).has_value());
  return database;
}

TEST(Schema, TakesTheMissingStepsAndKeepsACopyOfWhatWas) {
  const ScratchFolder folder;
  Database database = old_logbook(folder / "logbook.db");
  ASSERT_TRUE(migrate(database, kTwo).has_value());
  EXPECT_EQ(database.number("PRAGMA user_version").value(), 2);
  EXPECT_EQ(database.number("SELECT x + y FROM a").value(), 10);

  Database copy = Database::open(folder / "logbook.db.1", Access::write).value();
  EXPECT_EQ(copy.number("PRAGMA user_version").value(), 1);
  EXPECT_EQ(copy.number("SELECT x FROM a").value(), 7);
}

TEST(Schema, ANewLogbookNeedsNoCopy) {
  const ScratchFolder folder;
  Database database = Database::open(folder / "logbook.db", Access::write).value();
  ASSERT_TRUE(migrate(database, kTwo).has_value());
  EXPECT_FALSE(std::filesystem::exists(folder / "logbook.db.0"));
}

TEST(Schema, AStepThatFailsLeavesEverythingAsItWas) {
  const ScratchFolder folder;
  Database database = old_logbook(folder / "logbook.db");
  EXPECT_FALSE(migrate(database, kBroken).has_value());
  EXPECT_EQ(database.number("PRAGMA user_version").value(), 1);
  EXPECT_EQ(database.number("SELECT count(*) FROM sqlite_schema").value(), 1);
  ASSERT_TRUE(migrate(database, kTwo).has_value());
}

TEST(Schema, ANewerLogbookIsRefusedAndLeftAlone) {
  const ScratchFolder folder;
  Database database = old_logbook(folder / "logbook.db");
  ASSERT_TRUE(database.run_script("PRAGMA user_version = 900").has_value());
  for (const Access access : {Access::write, Access::read}) {
    const auto opened = open_logbook(folder / "logbook.db", access);
    ASSERT_FALSE(opened.has_value());
    EXPECT_THAT(opened.error().line(), testing::HasSubstr("newer halfarc"));
  }
  EXPECT_EQ(database.number("PRAGMA user_version").value(), 900);
}

TEST(Schema, TheDatabaseOfAnotherProgramIsRefusedAndLeftAlone) {
  const ScratchFolder folder;
  Database other = Database::open(folder / "logbook.db", Access::write).value();
  ASSERT_TRUE(other.run_script("CREATE TABLE songs (x)").has_value());
  const auto opened = open_logbook(folder / "logbook.db", Access::write);
  ASSERT_FALSE(opened.has_value());
  EXPECT_THAT(opened.error().line(), testing::HasSubstr("another program"));
  EXPECT_EQ(other.number("SELECT count(*) FROM sqlite_schema").value(), 1);
  auto mode = other.ask("PRAGMA journal_mode");
  ASSERT_TRUE(mode->next().value());
  EXPECT_EQ(mode->text(0), "delete");
}

TEST(Schema, ManyProcessesMayOpenANewLogbookAtOnce) {
  const ScratchFolder folder;
  constexpr int kRounds = 20;  // the moments in which two can meet are short
  for (int round = 0; round < kRounds; ++round) {
    const auto file = folder / (std::to_string(round) + ".db");
    std::vector<std::thread> all;
    for (int i = 0; i < 6; ++i) {
      all.emplace_back([&] {
        const auto opened = open_logbook(file, Access::write);
        EXPECT_TRUE(opened.has_value()) << (opened ? "" : opened.error().line());
      });
    }
    for (std::thread& one : all) one.join();
  }
}

}  // namespace
}  // namespace halfarc
