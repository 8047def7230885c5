#include "halfarc/app/target_named.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

RecordingInfo recording(const char* object, const char* path) {
  RecordingInfo info;
  info.object = object;
  info.path = path;
  return info;
}

TEST(TargetNamed, IsTheObjectOfTheHeaderBeforeTheFilesName) {
  EXPECT_EQ(target_named(recording("Jupiter", "saturn.ser")), sky::Body::jupiter);
  EXPECT_EQ(target_named(recording("near the terminator", "2027-02-14-mars_003.ser")), sky::Body::mars);
  EXPECT_EQ(target_named(recording("", "/night/Moon.fits")), sky::Body::moon);
  EXPECT_EQ(target_named(recording("Uranus", "")), sky::Body::uranus);
}

TEST(TargetNamed, IsNothingForAnyOtherWordAndNeverTheSun) {
  EXPECT_EQ(target_named(recording("", "")), std::nullopt);
  EXPECT_EQ(target_named(recording("star", "mar.ser")), std::nullopt);  // a beginning is no name
  EXPECT_EQ(target_named(recording("", "marseille.ser")), std::nullopt);
  EXPECT_EQ(target_named(recording("sun", "sun-1.ser")), std::nullopt);
  EXPECT_EQ(target_named(recording("", "/jupiter/a.ser")), std::nullopt);  // folders are the owner's affair
}

}  // namespace
}  // namespace halfarc
