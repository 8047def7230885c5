#include "halfarc/optics/train.h"

#include <algorithm>
#include <cmath>
#include <tuple>
#include <utility>

#include "halfarc/optics/paraxial.h"

namespace halfarc {
namespace {

// Something on the way that acts on rays: a lens, or a plate of glass that makes the way shorter.
struct Event {
  Length at;  // behind the port
  std::size_t part = 0;
  Length shorter;                  // of a plate
  const ThinLens* lens = nullptr;  // else nothing
};

// The way from the port to the sensor.
struct Way {
  std::vector<Length> starts;  // of each part
  Length sensor;
  std::vector<Event> events;  // in the order the light meets them
};

// A place on the way: just before what part `part` does there, or just after it.
struct Place {
  Length at;
  std::size_t part = 0;
  bool after = false;

  bool is_beyond(const Event& event) const {
    if (event.at != at) return event.at < at;
    return after ? event.part <= part : event.part < part;
  }
};

Way way_of(const Train& train) {
  Way way;
  for (std::size_t i = 0; i < train.parts.size(); ++i) {
    const Part& part = train.parts[i];
    way.starts.push_back(way.sensor);
    if (part.glass > Length()) way.events.push_back({way.sensor, i, plate_shift(part.glass, part.index), nullptr});
    for (const ThinLens& lens : part.lenses) way.events.push_back({way.sensor + lens.at, i, Length(), &lens});
    way.sensor += part.length;
  }
  std::stable_sort(way.events.begin(), way.events.end(), [](const Event& a, const Event& b) { return a.at < b.at; });
  return way;
}

// The same in either direction.
ParaxialRay passed(ParaxialRay ray, const Event& event) {
  return event.lens != nullptr ? refracted(ray, event.lens->focal_length) : carried(ray, -event.shorter);
}

// The ray from one place to a later one.
ParaxialRay followed(const Way& way, ParaxialRay ray, const Place& from, const Place& to) {
  Length at = from.at;
  for (const Event& event : way.events) {
    if (from.is_beyond(event) || !to.is_beyond(event)) continue;
    ray = passed(carried(ray, event.at - at), event);
    at = event.at;
  }
  return carried(ray, to.at - at);
}

// The cone that meets in the sensor, taken back to the port; its slope counts towards the sky.
ParaxialRay cone_at_port(const Way& way) {
  ParaxialRay ray{Length(), 1.0};
  Length at = way.sensor;
  for (auto event = way.events.rbegin(); event != way.events.rend(); ++event) {
    ray = passed(carried(ray, at - event->at), *event);
    at = event->at;
  }
  return carried(ray, at);
}

Result<void> check_part(const Part& part, bool last) {
  const std::string where = "part \"" + part.name + "\"";
  if ((part.kind == PartKind::camera) != last) {
    return bad_input(last ? "the train does not end in a camera" : "a camera stands before the end of the train", where,
                     "make the camera the last part, and the only one");
  }
  if (!is_finite(part.length) || part.length < Length() || !is_finite(part.glass) || part.glass < Length()) {
    return bad_input("a length is negative or no number", where, "give length and glass in mm, 0 or more");
  }
  if (!(part.index >= 1.0 && part.index < 5.0)) {
    return bad_input("the refractive index of the glass is not between 1 and 5", where, "give about 1.5 for glass");
  }
  if (!(part.transmission > 0.0 && part.transmission <= 1.0)) {
    return bad_input("the transmission is not above 0 and up to 1", where, "give the share of light that passes");
  }
  for (const ThinLens& lens : part.lenses) {
    if (!is_finite(lens.at) || !is_finite(lens.focal_length) || lens.focal_length == Length()) {
      return bad_input("a lens has no place or no focal length", where, "give both in mm");
    }
  }
  return {};
}

Result<void> check(const Train& train) {
  if (train.parts.empty()) return bad_input("the train has no parts", "train", "give at least a camera");
  for (const Part& part : train.parts) HALFARC_CHECK(check_part(part, &part == &train.parts.back()));
  return {};
}

// Light on each unit of the sensor's area, in units of the brightness of the sky.
double light_gathered(const TrainSolution& solution) {
  const double edge = solution.pupil.diameter / solution.focal_length;
  const double shadow = edge * solution.pupil.obstruction;
  return solution.transmission * (edge * edge - shadow * shadow);
}

// The back focus that leaves the light of a star in the sensor, and what the telescope is then.
Result<TrainSolution> aimed(const Way& way, const Telescope& telescope) {
  const ParaxialRay cone = cone_at_port(way);
  TrainSolution solution;
  solution.sensor = way.sensor;
  solution.amplification = cone.slope;
  solution.back_focus = cone.height / cone.slope;
  if (!(cone.slope > 0.0) || !is_finite(solution.back_focus)) {
    return bad_input("these lenses bring no light to a focus on the sensor", "train",
                     "check the signs of the focal lengths and the spacings");
  }
  solution.in_reach =
      solution.back_focus >= telescope.least_back_focus && solution.back_focus <= telescope.most_back_focus;
  solution.skyward_travel = skyward_travel(telescope, telescope.back_focus, solution.back_focus);
  solution.telescope_focal_length = effective_focal_length(telescope, solution.back_focus);
  if (!(solution.telescope_focal_length > Length())) {
    return bad_input("the focus would have to lie inside the telescope", "train",
                     "put the lenses nearer to the camera");
  }
  solution.focal_length = solution.telescope_focal_length * solution.amplification;
  solution.pupil = used_pupil(telescope, solution.back_focus);
  return solution;
}

// The two rays that bound the beam: from the edge of the opening to the middle of the sensor, and from the middle of
// the opening to the corner of the sensor. They start before every lens, even one that reaches into the telescope.
struct Beam {
  Place start;
  ParaxialRay edge;
  ParaxialRay chief;

  std::pair<Length, Length> widths(const Way& way, const Place& place) const {  // on the axis, with the field
    const Length axis = abs(followed(way, edge, start, place).height) * 2.0;
    return {axis, axis + abs(followed(way, chief, start, place).height) * 2.0};
  }
};

Place sensor_of(const Way& way) { return {way.sensor, way.starts.size(), true}; }

Beam beam_of(const Way& way, const TrainSolution& solution, const Telescope& telescope, Length corner) {
  Beam beam;
  if (!way.events.empty()) beam.start.at = std::min(Length(), way.events.front().at);
  const double steepness = solution.pupil.diameter / 2.0 / solution.telescope_focal_length;
  beam.edge = {(solution.back_focus - beam.start.at) * steepness, -steepness};
  const Length from_pupil = exit_pupil_before_port(telescope, solution.back_focus) + beam.start.at;
  const double field = corner / followed(way, {from_pupil, 1.0}, beam.start, sensor_of(way)).height;
  beam.chief = {from_pupil * field, field};
  return beam;
}

PlacedPart placed_part(const Way& way, const Beam& beam, const Part& part, std::size_t i, Length focal_length) {
  PlacedPart placed;
  placed.part = part;
  placed.start = way.starts[i];
  const Place middle{placed.start + part.length / 2.0, i, false};
  std::tie(placed.front_beam, placed.front_field_beam) = beam.widths(way, {placed.start, i, false});
  std::tie(placed.rear_beam, placed.rear_field_beam) = beam.widths(way, {placed.start + part.length, i, true});
  placed.focal_ratio = 0.5 / std::abs(followed(way, beam.edge, beam.start, middle).slope);
  placed.sky_per_turn = std::abs(followed(way, {Length(), 1.0}, middle, sensor_of(way)).height / focal_length);
  if (part.kind != PartKind::camera && part.clear_aperture > Length()) {
    placed.cuts_axis = std::max(placed.front_beam, placed.rear_beam) > part.clear_aperture;
    placed.cuts_field = std::max(placed.front_field_beam, placed.rear_field_beam) > part.clear_aperture;
  }
  return placed;
}

std::vector<BeamStep> beam_steps(const Way& way, const Beam& beam, const Train& train) {
  std::vector<BeamStep> steps;
  const auto add = [&](const Place& place) {
    const auto [axis, field] = beam.widths(way, place);
    steps.push_back({place.at, axis, field});
  };
  for (std::size_t i = 0; i < train.parts.size(); ++i) {
    const Part& part = train.parts[i];
    add({way.starts[i], i, false});
    if (part.glass > Length()) add({way.starts[i] + part.glass, i, true});
    for (const ThinLens& lens : part.lenses) add({way.starts[i] + lens.at, i, false});
  }
  add(sensor_of(way));
  std::stable_sort(steps.begin(), steps.end(), [](const BeamStep& a, const BeamStep& b) { return a.at < b.at; });
  return steps;
}

}  // namespace

Result<TrainSolution> solve(const Train& train, const Telescope& telescope) {
  HALFARC_CHECK(check(train));
  const Way way = way_of(train);
  HALFARC_TRY(TrainSolution solution, aimed(way, telescope));
  const Beam beam = beam_of(way, solution, telescope, train.parts.back().clear_aperture / 2.0);
  solution.corner_angle = Angle::rad(std::abs(followed(way, beam.chief, beam.start, sensor_of(way)).slope));
  solution.beam = beam_steps(way, beam, train);
  double open = 1.0;  // of the diameter of the beam on the axis
  for (std::size_t i = 0; i < train.parts.size(); ++i) {
    const PlacedPart placed = placed_part(way, beam, train.parts[i], i, solution.focal_length);
    if (placed.cuts_axis) {
      open = std::min(open, placed.part.clear_aperture / std::max(placed.front_beam, placed.rear_beam));
    }
    solution.transmission *= placed.part.transmission;
    solution.parts.push_back(placed);
  }
  solution.pupil = {solution.pupil.diameter * open, solution.pupil.obstruction / open};
  solution.focal_ratio = solution.focal_length / solution.pupil.diameter;
  return solution;
}

Angle on_sky(const TrainSolution& solution, Length on_sensor) { return Angle::rad(on_sensor / solution.focal_length); }

TrainChange change(const TrainSolution& before, const TrainSolution& after, const Telescope& telescope,
                   Length wavelength) {
  TrainChange result;
  result.back_focus = after.back_focus - before.back_focus;
  result.skyward_travel = after.skyward_travel - before.skyward_travel;
  result.knob = knob_turn(telescope.knob, result.skyward_travel);
  result.light_factor = light_gathered(after) / light_gathered(before);
  result.scale_factor = after.focal_length / before.focal_length;
  result.spherical_waves = spherical_change_waves(telescope, after.back_focus, wavelength) -
                           spherical_change_waves(telescope, before.back_focus, wavelength);
  return result;
}

Result<Train> with_part(Train train, std::size_t at, Part part) {
  if (at >= train.parts.size()) {
    return bad_input(
        "there is no such place before the camera", "train",
        "choose 0 (next to the telescope) to " + std::to_string(train.parts.empty() ? 0 : train.parts.size() - 1));
  }
  train.parts.insert(train.parts.begin() + static_cast<std::ptrdiff_t>(at), std::move(part));
  return train;
}

Result<Train> without_part(Train train, const std::string& name) {
  const auto found =
      std::find_if(train.parts.begin(), train.parts.end(), [&](const Part& part) { return part.name == name; });
  if (found == train.parts.end()) {
    std::string names;
    for (const Part& part : train.parts) names += (names.empty() ? "" : ", ") + part.name;
    return bad_input("the train has no part \"" + name + "\"", "train", "name one of: " + names);
  }
  train.parts.erase(found);
  return train;
}

Result<Train> with_part_moved(Train train, const std::string& name, std::size_t to) {
  const auto found =
      std::find_if(train.parts.begin(), train.parts.end(), [&](const Part& part) { return part.name == name; });
  Part moved = found == train.parts.end() ? Part{} : *found;
  HALFARC_TRY(Train without, without_part(std::move(train), name));
  return with_part(std::move(without), to, std::move(moved));
}

}  // namespace halfarc
