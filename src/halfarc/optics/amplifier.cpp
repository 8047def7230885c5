#include "halfarc/optics/amplifier.h"

#include "halfarc/optics/paraxial.h"

namespace halfarc {
namespace {

// A ray taken from the sensor back to just before the first lens.
ParaxialRay taken_back(const std::vector<ThinLens>& lenses, Length sensor, ParaxialRay ray) {
  Length place = sensor;
  for (auto lens = lenses.rbegin(); lens != lenses.rend(); ++lens) {
    ray = refracted(carried(ray, place - lens->at), lens->focal_length);
    place = lens->at;
  }
  return ray;
}

}  // namespace

Length amplifier_focal_length(double magnification, Length lens_to_sensor) {
  return lens_to_sensor / (magnification - 1.0);
}

std::vector<ThinLens> single_amplifier(double magnification, Length lens_to_sensor, Length at) {
  return {{at, -amplifier_focal_length(magnification, lens_to_sensor)}};
}

std::vector<ThinLens> telecentric_amplifier(double magnification, Length gap, Length at) {
  const Length front = amplifier_focal_length(magnification, gap);
  return {{at, -front}, {at + gap, front * magnification}};
}

Amplification amplification(const std::vector<ThinLens>& lenses, Length sensor) {
  if (lenses.empty()) return {1.0, sensor, Length(), 0.0};
  // The cone that meets in the sensor is M times as steep before the lenses; a ray that leaves them backwards along
  // the axis is turned by their power together.
  const ParaxialRay cone = taken_back(lenses, sensor, {Length(), 1.0});
  const ParaxialRay level = taken_back(lenses, sensor, {Length::mm(1.0), 0.0});
  const Length focus = lenses.front().at + cone.height / cone.slope;
  return {cone.slope, focus, focus - sensor, level.slope};
}

}  // namespace halfarc
