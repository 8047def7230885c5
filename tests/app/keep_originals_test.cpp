#include "halfarc/app/keep_originals.h"

#include <gtest/gtest.h>

#include <fstream>
#include <vector>

#include "scratch_folder.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

struct Night : ScratchFolder {
  Night() {
    for (const char* name : {"run.ser", "frame_001.png", "frame_002.png", "cube.fits", "cube-image.fits", "old.png"})
      touch(name);
    fs::create_directory(*this / "frames");
    touch("frames/a_001.fits");
  }
  void touch(const std::string& name) const { std::ofstream(*this / name) << "x"; }

  Result<void> keep(const std::string& recording, const std::string& output) const {
    const std::vector<fs::path> recordings = {*this / recording};
    const std::vector<fs::path> outputs = {*this / "elsewhere.fits", *this / output};
    return keep_originals(recordings, outputs);
  }
};

void expect_refused(const Result<void>& kept, const std::string& name, const std::string& because) {
  ASSERT_FALSE(kept) << name;
  EXPECT_EQ(kept.error().kind, ErrorKind::usage);
  EXPECT_NE(kept.error().where.find(name), std::string::npos) << kept.error().line();
  EXPECT_NE(kept.error().what.find(because), std::string::npos) << kept.error().line();
}

TEST(KeepOriginals, AnImageBesideItsRecordingIsWelcome) {
  const Night night;
  EXPECT_TRUE(night.keep("run.ser", "run.fits"));
  EXPECT_TRUE(night.keep("run.ser", "old.png"));  // an image of last time may be replaced
  EXPECT_TRUE(night.keep("cube.fits", "image.fits"));
  EXPECT_TRUE(night.keep("cube.fits", "cube-image.fits"));
  EXPECT_TRUE(night.keep("frames", "image.fits"));
  EXPECT_TRUE(night.keep("frame_001.png", "image.png"));
  EXPECT_TRUE(night.keep("absent.ser", "image.fits"));
}

TEST(KeepOriginals, TheRecordingItselfIsNeverReplaced) {
  const Night night;
  expect_refused(night.keep("run.ser", "run.ser"), "run.ser", "would replace the recording");
  expect_refused(night.keep("run.ser", "frames/../run.ser"), "run.ser", "would replace the recording");
  fs::create_hard_link(night / "run.ser", night / "link.ser");
  expect_refused(night.keep("run.ser", "link.ser"), "link.ser", "would replace the recording");
}

TEST(KeepOriginals, NoPictureOfASequenceIsReplaced) {
  const Night night;
  expect_refused(night.keep("frame_001.png", "frame_001.png"), "frame_001.png", "would replace");
  expect_refused(night.keep("frame_001.png", "frame_002.png"), "frame_002.png", "one of the frames");
}

TEST(KeepOriginals, NothingIsPutAmongTheFramesOfAFolder) {
  const Night night;
  expect_refused(night.keep("frames", "frames/image.fits"), "image.fits", "among the frames");
  expect_refused(night.keep("frames", "frames/a_001.fits"), "a_001.fits", "among the frames");
}

}  // namespace
}  // namespace halfarc
