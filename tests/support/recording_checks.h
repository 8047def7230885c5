// What tests of readers ask again and again.
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <cstring>
#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "halfarc/frames/recording.h"

namespace halfarc {

inline std::unique_ptr<Recording> opened(Result<std::unique_ptr<Recording>> result) {
  EXPECT_TRUE(result) << result.error().line();
  return result ? std::move(result).value() : nullptr;
}

inline std::unique_ptr<Recording> opened(const std::filesystem::path& path) { return opened(open_recording(path)); }

template <class T>
std::vector<T> frames_of(const Recording& recording, std::size_t first, std::size_t count) {
  EXPECT_EQ(sizeof(T), bytes_per_sample(recording.info().sample));
  std::vector<T> samples(count * recording.info().samples_per_frame());
  const auto read = recording.read(first, count, std::as_writable_bytes(std::span(samples)));
  EXPECT_TRUE(read) << read.error().line();
  return samples;
}

template <class T>
std::vector<T> frame_of(const Recording& recording, std::size_t number = 0) {
  return frames_of<T>(recording, number, 1);
}

// Every sample of every frame is what `sample` says, whether frames are read one by one or all together.
template <class T, class SampleAt>
void expect_samples(const Recording& recording, const SampleAt& sample) {
  const RecordingInfo& info = recording.info();
  const int colours = samples_per_pixel(info.mosaic);
  const std::vector<T> all = frames_of<T>(recording, 0, info.frames);
  std::size_t i = 0;
  std::size_t wrong = 0;
  for (std::size_t f = 0; f < info.frames; ++f) {
    const std::vector<T> one = frame_of<T>(recording, f);
    EXPECT_TRUE(std::equal(one.begin(), one.end(), all.begin() + static_cast<std::ptrdiff_t>(i)));
    for (int y = 0; y < info.height; ++y) {
      for (int x = 0; x < info.width; ++x) {
        for (int c = 0; c < colours; ++c, ++i) {
          if (all[i] != static_cast<T>(sample(static_cast<int>(f), x, y, c)) && wrong++ == 0) {
            ADD_FAILURE() << "frame " << f << " x " << x << " y " << y << " colour " << c << ": " << +all[i];
          }
        }
      }
    }
  }
  EXPECT_EQ(wrong, 0U);
}

inline bool has_note(const Recording& recording, const std::string& words) {
  const auto& notes = recording.info().notes;
  return std::any_of(notes.begin(), notes.end(), [&](const auto& n) { return n.find(words) != std::string::npos; });
}

inline std::string notes_of(const Recording& recording) {
  std::string all;
  for (const auto& note : recording.info().notes) all += "[" + note + "] ";
  return all;
}

// The error is one readable line: it names the file, says what in the given words, and what to do.
template <class T>
void expect_refused(const Result<T>& result, const std::filesystem::path& path, const std::string& words) {
  ASSERT_FALSE(result.has_value()) << path;
  const Error& error = result.error();
  EXPECT_NE(error.where.find(path.string()), std::string::npos) << error.line();
  EXPECT_NE(error.what.find(words), std::string::npos) << error.line();
  EXPECT_FALSE(error.to_do.empty()) << error.line();
  EXPECT_EQ(error.line().find('\n'), std::string::npos);
  EXPECT_LT(error.line().size() - path.string().size(), 200U) << error.line();
}

}  // namespace halfarc
