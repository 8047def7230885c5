// Disc model: brightness of a known disc at a sample, with its derivative by every parameter that a fit may turn.
//
// The pictures of measure/shaped_disc.h carry the outline and the blur; on them lie markings, as a few waves over the
// disc, and for a belted planet bands along its equator. A marking multiplies the blurred disc, so it is taken to be
// broader than the blur. Used by measure/known_disc.h.
#pragma once

#include <array>
#include <memory>
#include <vector>

#include "halfarc/base/parallel.h"
#include "halfarc/measure/disc_fit.h"
#include "halfarc/measure/shaped_disc.h"

namespace halfarc::disc_model {

// Parameters that bend the picture, then those that it is a sum by.
enum Bending { kX, kY, kRadius, kPole, kSigma, kForm, kBent };
enum Summing { kBackground = kBent, kFlat, kDomed, kInnerRing, kOuterRing, kMarkings };
inline constexpr int kSpots = 12;  // markings of any kind, by waves over the disc
inline constexpr int kBelts = 6;   // bands along the equator, where the pole is known
inline constexpr int kCount = kMarkings + kSpots + kBelts;
using Parameters = std::array<double, kCount>;  // lengths in cells, the pole in radians clockwise from up

struct Sample {
  int column = 0, row = 0;
  double dx = 0.0, dy = 0.0;  // from the cell's centre
  double value = 0.0, weight = 0.0;
};

struct Samples {
  std::vector<Sample> all;
  int width = 0, height = 0;
  int spots = 0;                                   // how many are fitted
  bool belts = false;                              // whether they are
  std::shared_ptr<const TelescopeBlur> telescope;  // where it is known
  bool ring = false, turns = false;                // whether there is one, and whether the pole's direction shows

  bool fitted(int parameter) const;
  int free() const;  // number of parameters fitted
};

// Part of a plane, its first pixel at (left, top).
struct Part {
  int left = 0, top = 0, width = 0, height = 0;
};
// That about a place, as far as the plane goes.
Part part_about(const SamplePlane& plane, PixelPoint centre, double reach);

// Cells of `bin` x `bin` pixels of a part, counted from its corner, each with the mean place of its samples.
// Valid: bin of 1 or more. Accuracy: exact.
Samples bin_samples(const SamplePlane& plane, const Part& part, int bin);

class Model {
 public:
  // `bends`: whether derivatives by the bending parameters are wanted, which cost a picture each.
  Model(const DiscShape& shape, bool mirrored, const Samples& samples, const Parameters& parameters, bool bends,
        Threads threads = {});

  // Derivatives by finite steps of a twentieth of a cell or a fiftieth, good to a few per cent.
  // Valid: samples of the set that the model was made with, which must outlive it.
  double at(const Sample& sample, Parameters* gradient) const;

 private:
  using Markings = std::array<double, kSpots + kBelts>;
  struct Read {
    double value = 0.0, x = 0.0, y = 0.0;
  };

  static Read read(const Plane<float>& picture, const Sample& sample);
  Read light(const DiscPictures& pictures, double markings, const Sample& sample) const;
  Markings markings_at(double x, double y, double pole) const;
  double brightness(const Markings& markings) const;
  double step(int parameter) const;

  const Samples& samples_;
  Parameters p_;
  bool bends_;
  DiscPictures base_;
  std::array<DiscPictures, kBent> further_;
};

}  // namespace halfarc::disc_model
