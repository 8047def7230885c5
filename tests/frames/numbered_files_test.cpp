#include "halfarc/frames/numbered_files.h"

#include <gtest/gtest.h>

#include "recording_checks.h"
#include "scratch_folder.h"
#include "small_files.h"

namespace halfarc {
namespace {

std::vector<std::string> names(const NumberedFiles& sequence) {
  std::vector<std::string> out;
  for (const auto& file : sequence.files) out.push_back(file.filename().string());
  return out;
}

using Names = std::vector<std::string>;

TEST(NumberedFiles, GoByNumberNotByName) {
  const ScratchFolder folder;
  for (const char* name : {"m10.png", "m9.png", "m011.png", "n1.png", "m12.tif", "m.png", ".m13.png"})
    put(folder / name, "x");
  const auto siblings = numbered_siblings(folder / "m10.png");
  ASSERT_TRUE(siblings);
  EXPECT_EQ(names(*siblings), (Names{"m9.png", "m10.png", "m011.png"}));
  EXPECT_TRUE(siblings->notes.empty());
}

TEST(NumberedFiles, TheLastNumberCounts) {
  const ScratchFolder folder;
  for (const char* name : {"2026-11-25_1_R.fit", "2026-11-25_2_R.fit", "2026-11-26_3_R.fit"}) put(folder / name, "x");
  EXPECT_EQ(names(*numbered_siblings(folder / "2026-11-25_2_R.fit")),
            (Names{"2026-11-25_1_R.fit", "2026-11-25_2_R.fit"}));
}

TEST(NumberedFiles, GapsAreSaid) {
  const ScratchFolder folder;
  for (const char* name : {"a1.png", "a2.png", "a5.png", "a7.png"}) put(folder / name, "x");
  const auto sequence = numbered_in_folder(folder.path());
  ASSERT_TRUE(sequence);
  ASSERT_EQ(sequence->notes.size(), 1U);
  EXPECT_EQ(sequence->notes.front(), "3 numbers are missing from the sequence, first 3");
}

TEST(NumberedFiles, WithoutANumberAFileStandsAlone) {
  const ScratchFolder folder;
  put(folder / "moon.png", "x");
  put(folder / "mars.png", "x");
  EXPECT_EQ(names(*numbered_siblings(folder / "moon.png")), (Names{"moon.png"}));
  put(folder / "n99999999999999999999999.png", "x");  // more digits than a number has
  EXPECT_EQ(numbered_siblings(folder / "n99999999999999999999999.png")->files.size(), 1U);
}

TEST(NumberedFiles, AFolderNeedsOneSequence) {
  const ScratchFolder folder;
  expect_refused(numbered_in_folder(folder.path()), folder.path(), "without numbered pictures");
  put(folder / "b1.png", "x");
  put(folder / "b2.png", "x");
  put(folder / "sum.png", "x");
  put(folder / "notes.txt", "x");
  const auto one = numbered_in_folder(folder.path());
  ASSERT_TRUE(one);
  EXPECT_EQ(names(*one), (Names{"b1.png", "b2.png"}));
  EXPECT_NE(one->notes.at(0).find("1 other pictures"), std::string::npos);
  put(folder / "c1.fit", "x");
  put(folder / "c2.fit", "x");
  expect_refused(numbered_in_folder(folder.path()), folder.path(), "several sequences (b#.png, c#.fit)");
}

TEST(NumberedFiles, AFolderThatIsNotThere) {
  expect_refused(numbered_in_folder("/nowhere/at/all"), "/nowhere/at/all", "cannot be listed");
}

}  // namespace
}  // namespace halfarc
