#include "halfarc/app/check_words.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace halfarc {
namespace {

using testing::Contains;
using testing::HasSubstr;

ClipCheck planet() {
  ClipCheck check;
  check.recording.path = "/night/giant.ser";
  check.recording.frames = 500;
  check.recording.width = check.recording.height = 300;
  check.recording.bits = 8;
  check.kind = ClipKind::planet;
  check.summary.peak = 128.0;
  check.summary.background = 8.0;
  check.summary.noise = 1.0;
  return check;
}

TEST(CheckWords, BeginWithTheFileAndItsKind) {
  EXPECT_THAT(check_words(planet()), testing::StartsWith("giant.ser: a planet, 500 frames of 300 x 300, 8 bit"));
  ClipCheck star = planet();
  star.kind = ClipKind::star;
  EXPECT_THAT(check_words(star), HasSubstr(": a star, "));
  star.hollow = true;
  EXPECT_THAT(check_words(star), HasSubstr(": a star out of focus, "));
  star.hollow = false;
  star.wide = true;
  EXPECT_THAT(check_words(star), HasSubstr("far out of focus"));
}

TEST(CheckWords, TellColoursInTheUnitThatIsKnown) {
  ClipCheck check = planet();
  check.colours = ColourShift{{0.0, 2.0}, {0.0, -3.0}, {0.1, 0.1}, {0.1, 0.1}};
  EXPECT_THAT(check_words(check), HasSubstr("red lies 2.00 ± 0.10 px from green, towards 6 o'clock"));
  EXPECT_THAT(check_words(check), HasSubstr("blue lies 3.00 ± 0.10 px from green, towards 12 o'clock"));
  check.scale = PlateScale::arcsec_per_px(0.2);
  EXPECT_THAT(check_words(check), HasSubstr("red lies 0.400 ± 0.020\" from green"));
}

TEST(CheckWords, SayWhatToDoOfAnEmptyClip) {
  ClipCheck check = planet();
  check.kind = ClipKind::empty;
  EXPECT_THAT(check_words(check), HasSubstr("nothing above the sky"));
}

TEST(CheckWords, HandOnTheNotes) {
  ClipCheck check = planet();
  check.notes = {"The clip has no times: say when it was taken (--at)."};
  EXPECT_THAT(check_words(check), HasSubstr("note       The clip has no times"));
}

TEST(WhatToDo, BeginsWithTheAdviceForTheHand) {
  ClipCheck check = planet();
  Advice advice;
  advice.words = "Turn screw-a 1/8 turn clockwise.";
  advice.turns = {{Control::screw_a, 0.125}};
  check.advice = {advice};
  EXPECT_THAT(what_to_do(check), Contains(HasSubstr("Turn screw-a")));
}

}  // namespace
}  // namespace halfarc
