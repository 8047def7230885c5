// LocalReader: how the parts of a run's frames have moved against each other, against one reference.
//
// The first look at a frame reads every probe where the whole frame's shift leads; what the run's air (local_air.h)
// makes of that says where to move each template by whole pixels, and the second look reads what is left, which is
// small. Both are divided by the frame's response (probe.h).
#pragma once

#include <functional>

#include "halfarc/base/result.h"
#include "halfarc/frames/recording.h"
#include "halfarc/restore/local_air.h"
#include "halfarc/restore/probe.h"
#include "halfarc/restore/window.h"

namespace halfarc {

class LocalReader {
 public:
  LocalReader() = default;  // the same air all over
  LocalReader(View<const float> reference, const RecordingInfo& info, const Window& window);

  std::size_t probes() const { return probes_.size(); }
  const LocalAir& air() const { return air_; }

  // Luminance of a raw frame's window, its whole shift undone to whole pixels; and the rest of that shift.
  struct Look {
    Plane<float> grey;
    PixelOffset rest;
  };
  Look look(std::span<const std::byte> frame, PixelOffset shift) const;

  // Learns the run's air from frames spread over it: each is asked for twice, by its place in [0, count).
  using Frames = std::function<Result<Look>(std::size_t)>;
  using ForEach = std::function<Result<void>(std::size_t, const std::function<Result<void>(std::size_t)>&)>;
  Result<void> learn(std::size_t count, const Frames& frames, const ForEach& for_each);

  // From now on parts belong where these frames, as read, have them on the average.
  void belong_as_in(std::span<const Readings> frames) { air_ = air_.about(frames); }

  // What one raw frame that lies at `shift` says, and its local shifts; empty where the air is the same all over.
  Readings read(std::span<const std::byte> frame, PixelOffset shift) const;
  ShiftField field(const Readings& readings) const;

 private:
  Readings first_look(const Look& look) const;
  Readings second_look(const Look& look, const ShiftField& expected) const;

  RecordingInfo info_;
  Window window_;
  int spacing_ = 1;
  std::vector<Probe> probes_;
  LocalAir air_;
};

}  // namespace halfarc
