#include "halfarc/optics/plate.h"

#include <cmath>

#include "halfarc/base/pixel.h"

namespace halfarc {
namespace {

// n cos(angle inside) of light that meets a face at a sine.
double inside(double index, double sine) { return std::sqrt(index * index - sine * sine); }

}  // namespace

Length focus_shift(const Plate& plate, Length wavelength) {
  return plate.thickness * (1.0 - 1.0 / refractive_index(plate.glass, wavelength));
}

Length edge_focus_shift(const Plate& plate, Length wavelength, double focal_ratio) {
  const double sine = 0.5 / focal_ratio;
  const double cosine = std::sqrt(1.0 - sine * sine);
  return plate.thickness * (1.0 - cosine / inside(refractive_index(plate.glass, wavelength), sine));
}

Length colour_shift(const Plate& plate, Length wavelength, Length other) {
  return focus_shift(plate, wavelength) - focus_shift(plate, other);
}

Length image_shift(const Plate& plate, Length wavelength) {
  const double sine = sin(plate.tilt);
  return plate.thickness * sine * (1.0 - cos(plate.tilt) / inside(refractive_index(plate.glass, wavelength), sine));
}

double edge_waves(const Plate& plate, Length wavelength, double focal_ratio) {
  const double n = refractive_index(plate.glass, wavelength);
  const double sine = 0.5 / focal_ratio;
  const double cosine = std::sqrt(1.0 - sine * sine);
  return plate.thickness * (inside(n, sine) - n + (1.0 - cosine) / n) / wavelength;
}

Wavefront third_order(const Plate& plate, const Cone& cone, Length wavelength) {
  const double n = refractive_index(plate.glass, wavelength);
  const double u = 0.5 / cone.focal_ratio;
  const double k = plate.thickness * ((n * n - 1.0) / (8.0 * n * n * n)) / wavelength;
  const double tilt = plate.tilt.rad();
  const PixelOffset step = step_towards(plate.towards);
  const double spherical = k * u * u * u * u;
  const double coma = 4.0 * k * u * u * u * tilt;
  const double astigmatism = 2.0 * k * u * u * tilt * tilt;
  return {.defocus = -spherical * (1.0 + cone.obstruction * cone.obstruction),
          .spherical = spherical,
          .coma_x = coma * step.x,
          .coma_y = coma * step.y,
          .astigmatism = astigmatism * (step.x * step.x - step.y * step.y),
          .astigmatism_45 = 2.0 * astigmatism * step.x * step.y,
          .wavelength = wavelength};
}

std::array<FlatFace, 2> faces(const Plate& plate, Length wavelength, Length z) {
  const Direction normal = leaning(plate.tilt, plate.towards);
  const BenchPoint front{{}, {}, z};
  const BenchPoint back{plate.thickness * normal.x, plate.thickness * normal.y, z + plate.thickness * normal.z};
  return {FlatFace{front, normal, refractive_index(plate.glass, wavelength)}, FlatFace{back, normal, 1.0}};
}

}  // namespace halfarc
