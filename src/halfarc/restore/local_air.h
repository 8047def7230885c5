// LocalAir: what a run's frames tell of shifts that differ over the field, and the field of one frame from its probes.
//
// The readings of all probes over many frames scatter together as far as the air moves neighbouring parts alike, and
// apart by their noise. A covariance v exp(-(r / l)^(5/3)) + c over the distance r and a scale of the noise, whose own
// covariance the probes know, are fitted to that scatter; each frame's field is then the best linear estimate from its
// own readings (a Gaussian process, "kriging"), which follows good readings and is pulled to 0 where there are only
// bad ones. So nothing has to be chosen: where the air is the same all over, v is 0, and so is the field. Readings
// that lie far from what their neighbours say are not believed. The mean over the frames is taken off each probe, so
// that parts return to where they were on the average of the run.
// c is what alignment of whole frames has taken off (it is below 0), and is left out of the field.
// Sources: best linear estimate with a covariance from the data [Matheron1963]; the power 5/3 of differences of
// turbulent tilts [Fried1975].
#pragma once

#include <memory>
#include <span>
#include <vector>

#include "halfarc/restore/probe.h"
#include "halfarc/restore/shift_field.h"

namespace halfarc {

// The readings of one frame, in the order of the probes.
using Readings = std::vector<float>;

class LocalAir {
 public:
  LocalAir();  // the same air all over: every field is empty
  // Learns from the readings of frames spread over the run (at least 24, else nothing is learned). The fields cover
  // width x height pixels, with nodes every `spacing` pixels.
  LocalAir(std::span<const Probe> probes, std::span<const Readings> frames, int width, int height, int spacing);

  bool same_all_over() const { return inside_ == nullptr; }
  // Variance of the fields at the probes, pixels^2, one axis: what undoing them takes away.
  double undone() const;
  // Rms of what the fields leave at the probes, pixels, one axis, by the covariances.
  double left() const;
  // Rms of the local shifts themselves, and the distance l, pixels.
  double rms() const;
  double reach() const;

  ShiftField field(std::span<const float> readings) const;

  // The same air, with the mean of these frames as where the parts belong: those that will make the picture.
  LocalAir about(std::span<const Readings> frames) const;

 private:
  struct Inside;
  std::shared_ptr<const Inside> inside_;
};

}  // namespace halfarc
