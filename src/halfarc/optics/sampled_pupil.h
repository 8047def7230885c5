// SampledPupil: the pupil cut into cells, so that any wavefront over it can be turned into a point spread.
//
// The point spread of a wavefront is the squared modulus of the Fourier transform of the pupil's field. A grid of
// n x n cells of side lambda / (n s) gives a point spread of n x n samples of pitch s on the sky. The edges of the
// pupil cut cells in two: such a cell counts with the share of its area that is open.
//
// The grid shows the halo out to n s / 2 only. The share of the light that falls farther out (1
// to 3 %, the energy that the cut cells are short of their area) is spread evenly over the grid, so that the contrast
// at every frequency is that of the round pupil and the sum is 1.
//
// Signs: an optical path difference (OPD) that rises along +x moves the image towards +x, by its slope. What lies
// beyond n s / 2 from the centre is folded back into the grid, so choose n large enough for the blur.
#pragma once

#include <complex>
#include <span>
#include <vector>

#include "halfarc/base/angle.h"
#include "halfarc/base/length.h"
#include "halfarc/optics/pupil.h"

namespace halfarc {

class SampledPupil {
 public:
  // `grid` x `grid` samples of pitch `pitch` on the sky. Valid: grid even, >= 8, and pitch <= lambda / (2 D), else the
  // finest detail is lost (see `critical_pitch`); an obstruction below 1.
  SampledPupil(const Pupil& pupil, Length wavelength, Angle pitch, int grid);

  Length wavelength() const { return wavelength_; }
  int grid() const { return grid_; }
  Length cell() const { return cell_; }

  // The open cells, row by row: where they are and how open they are, in (0, 1].
  std::span<const PupilPoint> points() const { return points_; }
  std::span<const float> openness() const { return openness_; }

  // Fills `point_spread` (grid * grid values) with the image of a point whose light left the pupil with the OPD
  // `opd_m` (metres, one value a point), summing to 1, its centre in sample 0 and wrapped round the edges.
  // `field` is scratch of grid * grid values aligned to 64 bytes. With `add` the values are added, times `weight`.
  // Valid: OPD finite. Accuracy: 1e-6 of the peak, against the sum over cells;
  // transfer function within 0.003 of the closed form at 40 cells across. Source: [Goodman2005] 6.1.
  void point_spread(std::span<const float> opd_m, std::span<std::complex<float>> field,
                    std::span<float> point_spread) const;
  void add_point_spread(std::span<const float> opd_m, float weight, std::span<std::complex<float>> field,
                        std::span<float> point_spread) const;

 private:
  Length wavelength_;
  int grid_;
  Length cell_;
  std::vector<PupilPoint> points_;
  std::vector<float> openness_;
  std::vector<int> cells_;  // index into the grid of each point
  float scale_ = 1.0F;      // of the squared modulus
  float far_light_ = 0.0F;  // a sample
};

// The share of a point's light inside a circle about the middle of its light, for any wavefront: from a point spread of
// this grid (its centre in sample 0, wrapped round the edges) and pitch. Samples on the circle count with their share.
// Valid: circles of three samples and more that fit the grid. Accuracy: 0.01 at three samples, 0.003 from six on; what
// lies beyond the grid is missing from it. Source: definition.
double encircled_energy(std::span<const float> point_spread, int grid, Angle pitch, Angle radius);

// The coarsest pitch that keeps all detail: lambda / (2 D). Valid: any. Accuracy: exact. Source: [Goodman2005] 2.4.
Angle critical_pitch(const Pupil& pupil, Length wavelength);

// The OPD in metres, one value a point, of an amount of a Zernike polynomial given in metres rms over the full disc.
// Valid: 1 <= j <= 200. Accuracy: 1e-7 relative. Source: [Noll1976].
void add_zernike(const SampledPupil& sampled, const Pupil& pupil, int j, Length rms, std::span<float> opd_m);

}  // namespace halfarc
