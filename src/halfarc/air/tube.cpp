#include "halfarc/air/tube.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "halfarc/air/heat_transfer.h"

namespace halfarc {
namespace {

using std::numbers::pi;

struct Material {
  double kg_per_m3;
  double j_per_kg_k;
};
// data: sources at tube_heat
constexpr Material kBorosilicate{2230.0, 830.0};
constexpr Material kSodaLime{2500.0, 720.0};
constexpr Material kAluminium{2700.0, 896.0};
constexpr Material kAir{1.23, 1005.0};
constexpr double kFoamConductivity = 0.035;  // W/mK
constexpr double kPaint = 0.9;
constexpr double kBackToCell = 0.73;  // glass 0.9 facing paint 0.8: 1 / (1/0.9 + 1/0.8 - 1)
constexpr double kTubeOverAperture = 1.1;
constexpr double kDraught = 0.1;  // how much of the breeze blows through an open tube
constexpr Temperature kUsual = Temperature::celsius(15.0);

double j_per_k(const Material& material, double volume_m3) {
  return material.kg_per_m3 * material.j_per_kg_k * volume_m3;
}

double disc_m2(Length diameter) { return 0.25 * pi * diameter.m() * diameter.m(); }
double cylinder_m2(Length diameter, Length length) { return pi * diameter.m() * length.m(); }

// The bright front radiates nothing worth counting; back and edge do, to the cell or, in an open one, to the ground.
void add_mirror(const TubeBuild& build, TubeHeat& heat) {
  const double front = disc_m2(build.aperture);
  const double rest = front + cylinder_m2(build.aperture, build.mirror_thickness);
  const double still = still_air_w_per_m2k(build.aperture);
  const double fan = moving_air_w_per_m2k(build.fan, build.aperture);
  heat.mirror_j_per_k = j_per_k(kBorosilicate, front * build.mirror_thickness.m());
  if (build.open_cell) {
    const double breeze = moving_air_w_per_m2k(build.breeze, build.aperture);
    heat.mirror_to_tube = {front, still, 0.0, 0.0};
    heat.mirror_to_air = {rest, still, std::max(breeze, fan), radiation_w_per_m2k(kPaint, kUsual)};
  } else {
    heat.mirror_to_tube = {front + rest, still, fan, radiation_w_per_m2k(kBackToCell, kUsual) * rest / (front + rest)};
  }
}

// The rates at which both lumps change, in K/s.
struct Rates {
  double mirror;
  double tube;
};

Rates rates(const TubeHeat& heat, const TubeState& state, const Outside& outside, Duration time) {
  const Temperature air = outside.air.at(time);
  const TemperatureDifference inside = state.mirror - state.tube_air;
  const TemperatureDifference across = state.tube_air - air;
  const TemperatureDifference behind = state.mirror - air;
  const double past_cell = conductance_w_per_k(heat.mirror_to_air, behind) * behind.kelvin();
  const double from_mirror = conductance_w_per_k(heat.mirror_to_tube, inside) * inside.kelvin();
  const double to_air = conductance_w_per_k(heat.tube_to_air, across) * across.kelvin();
  const Temperature sky = sky_temperature(air, outside.vapour, outside.cloud);
  const double to_sky = heat.sky_m2 * sky_loss_w_per_m2(state.tube_air, sky);
  return {-(from_mirror + past_cell) / heat.mirror_j_per_k, (from_mirror - to_air - to_sky) / heat.tube_j_per_k};
}

TubeState after(const TubeState& state, const Rates& r, Duration step) {
  return {state.mirror + TemperatureDifference::kelvin(r.mirror * step.s()),
          state.tube_air + TemperatureDifference::kelvin(r.tube * step.s())};
}

TubeState runge_kutta(const TubeHeat& heat, const TubeState& state, const Outside& outside, Duration time,
                      Duration step) {
  const Rates a = rates(heat, state, outside, time);
  const Rates b = rates(heat, after(state, a, 0.5 * step), outside, time + 0.5 * step);
  const Rates c = rates(heat, after(state, b, 0.5 * step), outside, time + 0.5 * step);
  const Rates d = rates(heat, after(state, c, step), outside, time + step);
  return after(state,
               {(a.mirror + 2.0 * b.mirror + 2.0 * c.mirror + d.mirror) / 6.0,
                (a.tube + 2.0 * b.tube + 2.0 * c.tube + d.tube) / 6.0},
               step);
}

// Fine steps within one of the caller's, so that the faster lump never moves by more than a fifth of its way.
int fine_steps(const TubeHeat& heat, Duration step) {
  constexpr TemperatureDifference kLargest = TemperatureDifference::kelvin(30.0);
  const double inside = conductance_w_per_k(heat.mirror_to_tube, kLargest);
  const double outside = conductance_w_per_k(heat.tube_to_air, kLargest) +
                         heat.sky_m2 * radiation_w_per_m2k(1.0, Temperature::celsius(30.0));
  const double past_cell = conductance_w_per_k(heat.mirror_to_air, kLargest);
  const double fastest = std::max((inside + past_cell) / heat.mirror_j_per_k, (inside + outside) / heat.tube_j_per_k);
  return std::clamp(static_cast<int>(std::ceil(5.0 * fastest * step.s())), 1, 10000);
}

}  // namespace

double conductance_w_per_k(const HeatPath& path, TemperatureDifference difference) {
  const double still = path.still_w_per_m2k * std::pow(std::abs(difference.kelvin()), 0.25);
  return path.area_m2 * (std::max(still, path.moving_w_per_m2k) + path.fixed_w_per_m2k);
}

TubeHeat tube_heat(const TubeBuild& build) {
  const double pupil = disc_m2(build.aperture);
  const Length outer = build.aperture * kTubeOverAperture;
  const double side = cylinder_m2(outer, build.tube_length);

  TubeHeat heat;
  add_mirror(build, heat);
  heat.tube_j_per_k = j_per_k(kAluminium, side * build.wall.m()) + build.castings_kg * kAluminium.j_per_kg_k +
                      j_per_k(kSodaLime, pupil * build.corrector_thickness.m()) +
                      j_per_k(kAir, disc_m2(outer) * build.tube_length.m());

  const double still = still_air_w_per_m2k(outer);
  const double moving = moving_air_w_per_m2k(build.breeze, outer);
  const double radiation = radiation_w_per_m2k(kPaint, kUsual);
  // Foam stands in the way of all that leaves the walls, as a layer in series; so does, where outside air blows
  // through, the still air along their inner side. A corrector is bare.
  const double layers = build.wrap.m() / kFoamConductivity + (build.open_cell ? 1.0 / still : 0.0);
  const double bare = 1.0 / (1.0 + layers * (std::max(still, moving) + radiation));
  const double surface = bare * (side + disc_m2(outer)) + (build.open_cell ? 0.0 : pupil);
  const double draught_w_per_k =
      build.open_cell ? kDraught * build.breeze.m_per_s() * pupil * kAir.kg_per_m3 * kAir.j_per_kg_k : 0.0;
  heat.tube_to_air = {surface, still, moving, radiation * (1.0 - build.sky_view) + draught_w_per_k / surface};
  heat.sky_m2 = kPaint * build.sky_view * surface;
  return heat;
}

Duration mirror_time_constant(const TubeHeat& heat, TemperatureDifference difference) {
  return Duration::s(heat.mirror_j_per_k / (conductance_w_per_k(heat.mirror_to_tube, difference) +
                                            conductance_w_per_k(heat.mirror_to_air, difference)));
}

TubeHeat with_time_constant(TubeHeat heat, Duration time_constant, TemperatureDifference difference) {
  const double faster = mirror_time_constant(heat, difference) / time_constant;
  heat.mirror_to_tube.area_m2 *= faster;
  heat.mirror_to_air.area_m2 *= faster;
  return heat;
}

std::vector<CoolingStep> cool(const TubeHeat& heat, const TubeState& start, const Outside& outside, Duration from,
                              Duration length, Duration step) {
  const int fine = fine_steps(heat, step);
  const Duration small = step / static_cast<double>(fine);
  const int steps = std::max(0, static_cast<int>(std::ceil(length / step - 1e-9)));
  std::vector<CoolingStep> course;
  course.reserve(static_cast<std::size_t>(steps) + 1);
  course.push_back({from, start, outside.air.at(from)});
  for (int i = 0; i < steps; ++i) {
    TubeState state = course.back().tube;
    for (int j = 0; j < fine; ++j) {
      state = runge_kutta(heat, state, outside, from + step * static_cast<double>(i) + small * static_cast<double>(j),
                          small);
    }
    const Duration time = from + step * static_cast<double>(i + 1);
    course.push_back({time, state, outside.air.at(time)});
  }
  return course;
}

Measured<Angle> mirror_seeing(TemperatureDifference mirror_over_air) {
  const Angle width = Angle::arcsec(0.40 * std::pow(std::max(0.0, mirror_over_air.kelvin()), 1.2));
  return {width, 0.5 * width};
}

}  // namespace halfarc
