// LightTrain: the way of the light from the scene through air and telescope onto the sensor, for one frame.
//
// For each colour: the path differences of air and optics over the pupil give a point spread; its transform (the
// optical transfer function), times that of the pixel, times the scene's spectrum, turned by the frame's shift, is the
// spectrum of the image. The scene is drawn finer than the pixels and its spectrum cut off beyond what the telescope
// can pass, so that the pixel grid holds the image exactly. Where the camera's pixels are coarser than the finest
// detail of the bluest colour, the work is done on a grid of whole fractions of a pixel.
// A colour that dispersion draws out is taken for a normal distribution of the same standard deviation: right to the
// second moment, and within 0.05 in contrast of an evenly filled stretch of spectrum wherever that keeps half of it.
// One and the same air over the whole field, that of one field angle; simulate/patchwork.h puts several together.
// Valid: pixels up to 4 times coarser than the finest detail. Accuracy: 0.003 in contrast at every frequency, against
// the closed form of a perfect telescope. Source: [Goodman2005] 6.
#pragma once

#include <array>
#include <complex>
#include <memory>
#include <vector>

#include "halfarc/base/banded_fourier.h"
#include "halfarc/base/duration.h"
#include "halfarc/frames/plane.h"
#include "halfarc/optics/pupil.h"
#include "halfarc/optics/sampled_pupil.h"
#include "halfarc/simulate/atmosphere.h"
#include "halfarc/simulate/dew.h"
#include "halfarc/simulate/instrument.h"
#include "halfarc/simulate/low_orders.h"
#include "halfarc/simulate/scene.h"

namespace halfarc {

// When a frame was exposed and where its picture fell.
struct Exposure {
  Duration middle;  // after the start
  Duration length;
  int parts = 1;                   // moments at which the air is looked at, evenly over the exposure
  std::array<SkyOffset, 3> shift;  // of each colour, without what the air does
  // The rows of each colour's image that anybody looks at (a mosaic has red on every second row only); with step 0
  // there are none and the colour is left out. Green is always worked out, for the truth.
  std::array<RowChoice, 3> rows;
  SkyOffset field{};                // the direction from which the air is looked through
  std::vector<LowOrders> errors{};  // beside those of the instrument, one a part; or none at all
  Veil veil{};
};

// The moment at which a part of the exposure looks at the air.
inline Duration moment(const Exposure& exposure, int part) {
  return exposure.middle + exposure.length * ((part + 0.5) / exposure.parts - 0.5);
}

// What the air did to a frame, for the truth file.
struct AirTruth {
  PixelOffset tilt_px;      // least-squares slope of the wavefront, in pixels on the image
  PixelOffset centroid_px;  // where the centre of green light of a point went, by the air and the optics
  double rms_nm = 0.0;      // of the path after piston and tilt are taken out
};

class LightTrain {
 public:
  // Complex values aligned for the vector units.
  class Spectrum {
   public:
    Spectrum() = default;
    explicit Spectrum(std::size_t bins) : values_(static_cast<int>(bins), 1) {}
    Spectrum(const Spectrum& other) : values_(other.values_.copy()) {}
    Spectrum(Spectrum&&) = default;
    Spectrum& operator=(Spectrum&&) = default;
    std::complex<float>* data() { return values_.data(); }
    const std::complex<float>* data() const { return values_.data(); }
    bool empty() const { return values_.empty(); }
    std::complex<float>& operator[](std::size_t i) { return values_.data()[i]; }
    const std::complex<float>& operator[](std::size_t i) const { return values_.data()[i]; }

   private:
    Plane<std::complex<float>> values_;
  };

  // `blur` is how far light is thrown from its place: it sets the size of the point spread grid, together with the
  // errors of the optics. The scene's frame is what the camera sees plus the margin that keeps wrapped light out.
  // `halo` is how wide a veil of dew scatters (simulate/dew.h); 0 when there is none. `spread_px` is the side of the
  // point spread's grid in pixels, even; 0: a power of two that holds the blur.
  // Valid: scene drawn with `oversample_for`.
  LightTrain(const Instrument& instrument, const Scene& scene, Angle blur, Angle halo = {}, int spread_px = 0);

  // Another scene from now on, on a frame of the same size and scale.
  void show(const Scene& scene);

  int width() const { return frame_.width; }
  int height() const { return frame_.height; }

  // Scratch for one worker.
  class Work;
  std::shared_ptr<Work> make_work() const;

  // The image in brightness averaged over each pixel, into three planes of the frame's size.
  AirTruth expose(const Atmosphere& air, const Exposure& exposure, Work& work,
                  std::array<Plane<float>, 3>& image) const;

  // The same through a perfect telescope and no air: closed-form transfer functions, no shift.
  std::array<Plane<float>, 3> perfect_image() const;

 private:
  void add_smear(std::size_t colour);
  void add_optics(const Instrument& instrument, std::size_t colour);
  void add_veil(Angle halo, std::size_t colour);
  void image_colour(std::size_t colour, const Exposure& exposure, Work& work, Plane<float>& image) const;
  void crop(const Plane<float>& grid, Plane<float>& image) const;

  Instrument instrument_;
  SceneFrame frame_;
  int fold_ = 1;  // work samples a pixel each way
  int grid_width_ = 0;
  int grid_height_ = 0;
  PlateScale work_scale_;
  std::vector<SampledPupil> pupils_;                // one a colour
  std::vector<BandedFourier> fourier_;              // one a colour
  std::array<std::vector<int>, 3> passed_rows_;     // of each colour's columns: vertical frequencies 0 .. n - 1 pass
  std::array<std::vector<float>, 3> optics_opd_m_;  // path error of the optics at each pupil's points
  std::array<std::vector<float>, 3> low_orders_;    // of each colour, the polynomials of LowOrders one after another
  std::array<std::vector<float>, 3> halo_;          // transfer function of a veil's halo; empty: none
  std::array<Spectrum, 3> scene_;                   // times the pixel's transfer function
  std::array<Spectrum, 3> smeared_;                 // the same drawn out by dispersion; empty: not drawn out
};

// How far from its place a point's light must be followed, for a blur by the air and the errors of the optics: by rays,
// W rho^2 throws light 4 W lambda/D far and W rho^3 3 W lambda/D. Valid: any. Accuracy: generous by design.
Angle spread_reach(const Instrument& instrument, Angle blur);

// How many cells a pixel a scene must be drawn with, at this scale and for these colours.
int oversample_for(const Instrument& instrument, PlateScale scale);

}  // namespace halfarc
