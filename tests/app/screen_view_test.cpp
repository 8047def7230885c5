#include "halfarc/app/screen_view.h"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <limits>

#include "halfarc/frames/png_picture.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

struct Shown {
  int width = 0, height = 0;
  std::vector<std::uint8_t> samples;
};

// The picture as our own reader of PNG files sees it.
Shown shown(const std::string& png) {
  const ScratchFolder folder;
  const auto path = folder / "view.png";
  std::ofstream(path, std::ios::binary) << png;
  const auto header = read_png_header(path).value();
  Shown picture{header.width, header.height, {}};
  picture.samples.resize(static_cast<std::size_t>(header.width) * static_cast<std::size_t>(header.height));
  EXPECT_TRUE(read_png(path, header, std::as_writable_bytes(std::span(picture.samples))).has_value());
  return picture;
}

// 3 x 2, grey: 0 1 2 / 3 4 5 in fifths of white.
std::vector<Plane<float>> steps() {
  std::vector<Plane<float>> planes;
  Plane<float>& plane = planes.emplace_back(3, 2);
  for (std::size_t i = 0; i < 6; ++i) plane.samples()[i] = 0.2F * static_cast<float>(i);
  return planes;
}

ScreenView plain() {
  ScreenView view;
  view.screen_curve = false;
  return view;
}

TEST(ScreenView, ShowsAsItIs) {
  const Shown picture = shown(screen_view(steps(), plain()).value());
  EXPECT_EQ(picture.width, 3);
  EXPECT_EQ(picture.samples, (std::vector<std::uint8_t>{0, 51, 102, 153, 204, 255}));
}

TEST(ScreenView, TurnsClockwiseAndFlipsBefore) {
  ScreenView view = plain();
  view.turn = 90;
  EXPECT_EQ(shown(screen_view(steps(), view).value()).samples, (std::vector<std::uint8_t>{153, 0, 204, 51, 255, 102}));
  view.turn = 180;
  EXPECT_EQ(shown(screen_view(steps(), view).value()).samples, (std::vector<std::uint8_t>{255, 204, 153, 102, 51, 0}));
  view.turn = 270;
  EXPECT_EQ(shown(screen_view(steps(), view).value()).samples, (std::vector<std::uint8_t>{102, 255, 51, 204, 0, 153}));
  view.turn = 0;
  view.flip = true;
  EXPECT_EQ(shown(screen_view(steps(), view).value()).samples, (std::vector<std::uint8_t>{102, 51, 0, 255, 204, 153}));
}

TEST(ScreenView, EnlargesAndShrinks) {
  ScreenView view = plain();
  view.zoom = 2.0;
  const Shown large = shown(screen_view(steps(), view).value());
  EXPECT_EQ(large.width, 6);
  EXPECT_EQ(large.height, 4);
  EXPECT_EQ(large.samples.front(), 0);
  EXPECT_EQ(large.samples.back(), 255);
  view.zoom = 0.5;
  std::vector<Plane<float>> block;
  block.emplace_back(4, 4);
  for (float& v : block.front().samples()) v = 0.4F;
  const Shown small = shown(screen_view(block, view).value());
  EXPECT_EQ(small.samples, (std::vector<std::uint8_t>{102, 102, 102, 102}));
}

TEST(ScreenView, WhatHasNoValueIsSky) {
  std::vector<Plane<float>> planes = steps();
  planes.front()(0, 0) = std::numeric_limits<float>::quiet_NaN();
  planes.front()(1, 0) = -1.0F;
  planes.front()(2, 0) = 9.0F;
  const Shown picture = shown(screen_view(planes, plain()).value());
  EXPECT_EQ(picture.samples[0], 0);
  EXPECT_EQ(picture.samples[1], 0);
  EXPECT_EQ(picture.samples[2], 255);
  EXPECT_FLOAT_EQ(level_below(planes, 0.0), -1.0F);
}

// IEC 61966-2-1: half of the light is shown as 188 of 255.
TEST(ScreenView, TheCurveIsThatOfScreens) {
  std::vector<Plane<float>> planes;
  planes.emplace_back(1, 1);
  planes.front()(0, 0) = 0.5F;
  EXPECT_EQ(shown(screen_view(planes, {}).value()).samples.front(), 188);
}

TEST(ScreenView, RefusesWhatIsTooLarge) {
  std::vector<Plane<float>> planes;
  planes.emplace_back(2000, 2);
  ScreenView view;
  view.zoom = 4.0;
  EXPECT_FALSE(screen_view(planes, view));
}

}  // namespace
}  // namespace halfarc
