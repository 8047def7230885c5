#include "halfarc/app/rig.h"

#include "halfarc/app/rig_file.h"
#include "halfarc/optics/passband.h"

namespace halfarc {

Rig example_rig() {
  const Result<Rig> rig = parse_rig_file(example_rig_text(), "the default rig");
  return rig ? *rig : Rig{};  // tests/app/rig_file_test.cpp sees to it that it is one
}

Result<TrainSolution> solve(const Rig& rig) { return solve(rig.train, rig.telescope); }

std::string_view name_of(ScaleSource source) {
  switch (source) {
    case ScaleSource::given:
      return "given";
    case ScaleSource::rig:
      return "rig";
    case ScaleSource::ephemeris:
      return "ephemeris";
    case ScaleSource::drift:
      return "drift";
    case ScaleSource::moons:
      return "moons";
    case ScaleSource::logbook:
      return "logbook";
    case ScaleSource::default_rig:
      break;
  }
  return "default rig";
}

PlateScale plate_scale(const Rig& rig, const TrainSolution& solution) {
  return PlateScale::per_pixel(on_sky(solution, rig.camera.pixel));
}

std::optional<CorrectorPlace> corrector_place(const TrainSolution& solution) {
  for (const PlacedPart& placed : solution.parts) {
    if (placed.part.kind != PartKind::corrector) continue;
    const Length focal_length = solution.pupil.diameter * placed.focal_ratio;
    return CorrectorPlace{
        {placed.focal_ratio, solution.pupil.obstruction}, focal_length, focal_length * std::abs(placed.sky_per_turn)};
  }
  return std::nullopt;
}

std::array<SpectralCurve, 3> colour_planes(const Rig& rig) {
  SpectralCurve before = telescope_transmission(rig.telescope.kind);
  for (const FilterColours& filter : rig.filters) before = before * filter.passes;
  if (rig.mosaic != Mosaic::mono) return colour_planes(before);
  const SpectralCurve whole = before * silicon_efficiency();
  return {whole, whole, whole};
}

TubeHeat tube_heat(const Rig& rig) {
  const TubeHeat heat = tube_heat(rig.tube);
  if (!rig.time_constant) return heat;
  return with_time_constant(heat, *rig.time_constant, TemperatureDifference::kelvin(5.0));
}

}  // namespace halfarc
