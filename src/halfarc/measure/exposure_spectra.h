// Exposure spectra: how single exposures of a clip differ from their mean, ring by ring of spatial frequency, free of
// noise and of the scene.
//
// Short bursts of neighbouring frames are taken evenly over the clip and laid on top of each other, first by their
// centroids, then by Newton steps towards the best agreement with their mean. Two sites of every frame (the greens of a
// mosaic, one diagonal of a mono sensor) see the same air with noise of their own, so their cross spectrum has no noise
// bias. Three powers come of it:
//     coherent  of the mean: products of different bursts only
//     single    of each exposure
//     later[k]  of an exposure with the k-th after it, which tells how fast the air changes
// Sums are kept by groups of bursts, so that errors can be had by leaving one group out in turn.
#pragma once

#include <array>
#include <complex>
#include <vector>

#include "halfarc/base/duration.h"
#include "halfarc/base/parallel.h"
#include "halfarc/base/result.h"
#include "halfarc/frames/recording.h"
#include "halfarc/measure/clip_optics.h"
#include "halfarc/measure/index.h"

namespace halfarc {

constexpr std::size_t kSpectrumRings = 16;
constexpr std::size_t kBurst = 4;  // frames that follow each other
constexpr std::size_t kSpectrumGroups = 12;
// The middle of a ring as a share of the telescope's cut-off: 0.08, 0.12, ... 0.68.
constexpr double spectrum_share(std::size_t ring) { return 0.08 + 0.04 * static_cast<double>(ring); }

struct RingPowers {
  std::array<double, kSpectrumRings> coherent{}, single{};
  std::array<std::array<double, kSpectrumRings>, kBurst - 1> later{};
};

class ExposureSpectra {
 public:
  std::size_t frames = 0;
  std::array<bool, kSpectrumRings> seen{};  // rings that the pixels sample

  RingPowers all() const { return powers(kSpectrumGroups); }
  RingPowers without(std::size_t group) const { return powers(group); }

  struct Group {
    std::vector<std::complex<double>> first, second;  // sums of the two sites' spectra
    std::array<double, kSpectrumRings> within{};      // products of each burst's sums
    std::array<double, kSpectrumRings> single{};
    std::array<std::array<double, kSpectrumRings>, kBurst - 1> later{};
    double frames = 0.0, pairs_within = 0.0;
    std::array<double, kBurst - 1> pairs_later{};
  };
  std::vector<Group> groups;
  std::vector<int> ring_of;    // of each value of the spectra
  std::vector<double> copies;  // how often it stands in the full spectrum

 private:
  RingPowers powers(std::size_t left_out) const;
};

// What is looked at: an extended scene weighs coarse detail when it is aligned, by its own power; a point has all
// frequencies alike, and is weighed as a disc would be, so that the same law holds.
enum class Subject { extended, point };

// At most `most` frames are read. Valid: an object that stands clear of the frame's edges, not burnt out.
// Errors (bad input): fewer than 48 frames with an object, in bursts; those of reading.
Result<ExposureSpectra> exposure_spectra(const Recording& recording, const RecordingIndex& index,
                                         const ClipOptics& optics, Subject subject, Threads threads,
                                         std::size_t most = 320);

}  // namespace halfarc
