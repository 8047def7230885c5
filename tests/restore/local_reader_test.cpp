#include "halfarc/restore/local_reader.h"

#include <gtest/gtest.h>

#include <cmath>

#include "shimmering_scene.h"

namespace halfarc {
namespace {

using testing::frame_of;
using testing::kSceneSize;
using testing::Waves;

RecordingInfo layout() {
  RecordingInfo info;
  info.width = info.height = kSceneSize;
  info.mosaic = Mosaic::mono;
  info.sample = Sample::u16;
  return info;
}

constexpr float kGain = 10.0F;  // the scene's units are ten of the camera's

std::vector<std::uint16_t> raw(const Plane<float>& picture) {
  std::vector<std::uint16_t> samples;
  for (const float v : picture.samples()) samples.push_back(static_cast<std::uint16_t>(std::lround(kGain * v)));
  return samples;
}

// Rms of what is left of shifts of 2 pixels rms in frames that are softer than the reference, and shifted as a whole.
TEST(LocalReader, FollowsShiftsOfSeveralPixelsInSofterFrames) {
  const auto scene = testing::spots(7);
  Plane<float> reference = frame_of(scene, Waves(Rng(1), 0.0, 100.0), 4.5, 0.0, Rng(2));
  for (float& v : reference.samples()) v *= kGain;
  const RecordingInfo info = layout();
  std::vector<Waves> truth;
  std::vector<std::vector<std::uint16_t>> frames;
  for (std::uint64_t f = 0; f < 50; ++f) {
    truth.emplace_back(Rng(7).child("waves", f), 2.0, 260.0);
    frames.push_back(raw(frame_of(scene, truth.back(), 5.2, 4.0, Rng(7).child("noise", f))));
  }
  LocalReader reader(reference, info, {0, 0, kSceneSize, kSceneSize});
  const auto one = [&](std::size_t i) -> Result<LocalReader::Look> {
    return reader.look(std::as_bytes(std::span(frames[i])), {});
  };
  const auto each = [](std::size_t count, const std::function<Result<void>(std::size_t)>& body) -> Result<void> {
    for (std::size_t i = 0; i < count; ++i) HALFARC_CHECK(body(i));
    return {};
  };
  ASSERT_TRUE(reader.learn(frames.size(), one, each));
  ASSERT_FALSE(reader.air().same_all_over());
  double left_squares = 0.0, true_squares = 0.0;
  for (std::size_t f = 0; f < frames.size(); ++f) {
    const ShiftField field = reader.field(reader.read(std::as_bytes(std::span(frames[f])), {}));
    for (int y = 50; y < kSceneSize - 50; y += 10) {
      for (int x = 50; x < kSceneSize - 50; x += 10) {
        const PixelPoint place{static_cast<double>(x), static_cast<double>(y)};
        const PixelOffset real = truth[f].at(place.x, place.y), left = real - shift_at(field, place);
        left_squares += left.x * left.x + left.y * left.y;
        true_squares += real.x * real.x + real.y * real.y;
      }
    }
  }
  EXPECT_LT(std::sqrt(left_squares / true_squares), 0.25);
}

TEST(LocalReader, AnErrorOfTheFileEndsTheLearning) {
  LocalReader reader(frame_of(testing::spots(7), Waves(Rng(1), 0.0, 100.0), 4.5, 0.0, Rng(2)), layout(),
                     {0, 0, kSceneSize, kSceneSize});
  const auto none = [](std::size_t) -> Result<LocalReader::Look> { return failed("cannot be read", "there", "look"); };
  const auto each = [](std::size_t, const std::function<Result<void>(std::size_t)>& body) { return body(0); };
  EXPECT_FALSE(reader.learn(30, none, each));
}

}  // namespace
}  // namespace halfarc
