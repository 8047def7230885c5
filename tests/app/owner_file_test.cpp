#include "halfarc/app/owner_file.h"

#include <gtest/gtest.h>

#include "halfarc/app/home.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

const Utc kNow = Utc::parse("2026-11-25T21:04:07Z").value();

TEST(OwnerFile, WhatIsNotThereIsWhatInitWouldWrite) {
  const ScratchFolder folder;
  const auto site = read_owner_file(folder.path(), OwnerFile::site).value();
  EXPECT_FALSE(site.exists);
  EXPECT_TRUE(check_owner_text(OwnerFile::site, site.text).has_value());
  const auto rig = read_owner_file(folder.path(), OwnerFile::rig).value();
  EXPECT_TRUE(check_owner_text(OwnerFile::rig, rig.text).has_value());
  EXPECT_EQ(read_owner_file(folder.path(), OwnerFile::horizon).value().text, "");
}

TEST(OwnerFile, TheOldTextStaysBesideTheNew) {
  const ScratchFolder folder;
  const auto home = folder / "new home";
  ASSERT_TRUE(replace_owner_file(home, OwnerFile::horizon, "0,5,roof,yes\n", kNow).has_value());
  ASSERT_TRUE(replace_owner_file(home, OwnerFile::horizon, "0,6,roof,yes\n", kNow).has_value());
  EXPECT_EQ(read_owner_file(home, OwnerFile::horizon).value().text, "0,6,roof,yes\n");
  EXPECT_EQ(text_of_home_file(home, "horizon.csv.20261125T210407Z").value(), "0,5,roof,yes\n");
}

TEST(OwnerFile, WhatCannotBeUsedIsNotWritten) {
  const ScratchFolder folder;
  for (const OwnerFile file : {OwnerFile::site, OwnerFile::rig, OwnerFile::horizon}) {
    const auto written = replace_owner_file(folder.path(), file, "what = is this\nand = that\n", kNow);
    ASSERT_FALSE(written);
    EXPECT_NE(written.error().where.find(file_name(file)), std::string::npos);
    EXPECT_FALSE(std::filesystem::exists(folder.path() / file_name(file)));
  }
}

TEST(OwnerFile, TheSameTextIsNotWrittenTwice) {
  const ScratchFolder folder;
  ASSERT_TRUE(replace_owner_file(folder.path(), OwnerFile::horizon, "0,5,roof,yes\n", kNow).has_value());
  ASSERT_TRUE(replace_owner_file(folder.path(), OwnerFile::horizon, "0,5,roof,yes\n", kNow).has_value());
  EXPECT_FALSE(std::filesystem::exists(folder / "horizon.csv.20261125T210407Z"));
}

}  // namespace
}  // namespace halfarc
