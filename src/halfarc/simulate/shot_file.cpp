#include "halfarc/simulate/shot_file.h"

#include <toml++/toml.h>

#include <array>
#include <fstream>
#include <iterator>
#include <limits>
#include <optional>
#include <sstream>
#include <vector>

#include "halfarc/base/toml_section.h"

namespace halfarc {
namespace {

struct KindName {
  BodyKind kind;
  std::string_view name;
};
constexpr std::array<KindName, 4> kKinds = {{{BodyKind::banded_giant, "banded giant"},
                                             {BodyKind::ruddy_disc, "ruddy disc"},
                                             {BodyKind::ringed_giant, "ringed giant"},
                                             {BodyKind::star, "star"}}};

SkyOffset arcseconds(const std::array<double, 2>& xy) { return {Angle::arcsec(xy[0]), Angle::arcsec(xy[1])}; }
std::array<double, 2> arcseconds(const SkyOffset& o) { return {o.x.arcsec(), o.y.arcsec()}; }

// What the file states in its own words before it becomes a ShotSpec: the scale comes from three keys.
struct Optics {
  double focal_length_mm = 2030.0;
  double amplifier = 2.0;
  double pixel_um = 3.45;
};

void read_telescope(TomlSection section, Instrument& instrument, Optics& optics) {
  double diameter_mm = instrument.pupil.diameter.mm();
  std::array<double, 2> coma{};
  section.number("diameter_mm", diameter_mm);
  section.number("obstruction", instrument.pupil.obstruction);
  section.number("focal_length_mm", optics.focal_length_mm);
  section.number("amplifier", optics.amplifier);
  section.number("defocus_waves", instrument.defocus_waves);
  section.numbers("coma_waves", coma);
  section.done();
  instrument.pupil.diameter = Length::mm(diameter_mm);
  instrument.coma_x_waves = coma[0];
  instrument.coma_y_waves = coma[1];
}

void read_camera(TomlSection section, ShotSpec& shot, Optics& optics) {
  std::int64_t width = shot.width;
  std::int64_t height = shot.height;
  std::int64_t bits = shot.sensor.bits;
  std::string pattern(name(shot.sensor.mosaic));
  std::array<double, 3> nm{};
  for (std::size_t c = 0; c < 3; ++c) nm[c] = shot.instrument.wavelengths[c].nm();
  section.number("pixel_um", optics.pixel_um);
  section.whole("width", 16, 8192, width);
  section.whole("height", 16, 8192, height);
  section.whole("bits", 8, 16, bits);
  section.text("pattern", pattern);
  section.number("electrons_per_adu", shot.sensor.electrons_per_adu);
  section.number("read_noise_e", shot.sensor.read_noise_e);
  section.number("offset_adu", shot.sensor.offset_adu);
  section.number("full_well_e", shot.sensor.full_well_e);
  section.numbers("wavelengths_nm", nm);
  if (const auto mosaic = mosaic_named(pattern)) {
    shot.sensor.mosaic = *mosaic;
  } else {
    section.refuse("pattern", "must be mono, RGGB, GRBG, GBRG, BGGR or RGB");
  }
  section.done();
  shot.width = static_cast<int>(width);
  shot.height = static_cast<int>(height);
  shot.sensor.bits = static_cast<int>(bits);
  for (std::size_t c = 0; c < 3; ++c) shot.instrument.wavelengths[c] = Length::nm(nm[c]);
}

void read_angle(TomlSection& section, std::string_view key, Angle& angle) {
  double deg = angle.deg();
  section.number(key, deg);
  angle = Angle::deg(deg);
}

void read_body(TomlSection section, BodySpec& body) {
  std::string kind;
  for (const KindName& k : kKinds) {
    if (k.kind == body.kind) kind = k.name;
  }
  double diameter = body.equatorial_diameter.arcsec();
  std::array<double, 2> centre = arcseconds(body.centre);
  auto surface = static_cast<std::int64_t>(body.surface_seed);
  section.text("kind", kind);
  section.number("diameter_arcsec", diameter);
  section.number("flattening", body.flattening);
  read_angle(section, "pole_angle_deg", body.pole_angle);
  read_angle(section, "latitude_deg", body.sub_observer_latitude);
  read_angle(section, "longitude_deg", body.central_meridian);
  read_angle(section, "phase_angle_deg", body.phase_angle);
  read_angle(section, "sun_angle_deg", body.sun_angle);
  section.numbers("centre_arcsec", centre);
  section.whole("surface_seed", 0, std::numeric_limits<std::int64_t>::max(), surface);
  bool known = false;
  for (const KindName& k : kKinds) {
    if (k.name == kind) {
      body.kind = k.kind;
      known = true;
    }
  }
  if (!known) section.refuse("kind", "must be \"banded giant\", \"ruddy disc\", \"ringed giant\" or \"star\"");
  section.done();
  body.equatorial_diameter = Angle::arcsec(diameter);
  body.centre = arcseconds(centre);
  body.surface_seed = static_cast<std::uint64_t>(surface);
}

void read_air(TomlSection section, AirSpec& air) {
  double r0_cm = air.turbulence.r0.cm();
  double outer_scale_m = air.turbulence.outer_scale.m();
  section.number("r0_cm", r0_cm);
  section.number("outer_scale_m", outer_scale_m);
  air.turbulence = {Length::cm(r0_cm), kSeeingWavelength, Length::m(outer_scale_m)};
  if (auto layers = section.sections("layer")) {
    air.layers.clear();
    for (TomlSection& entry : *layers) {
      Layer layer;
      double wind = layer.wind.m_per_s();
      double height = layer.height.m();
      entry.number("weight", layer.weight);
      entry.number("wind_m_per_s", wind);
      read_angle(entry, "direction_deg", layer.direction);
      entry.number("height_m", height);
      entry.done();
      layer.wind = Speed::m_per_s(wind);
      layer.height = Length::m(height);
      air.layers.push_back(layer);
    }
  }
  section.done();
}

void read_dispersion(TomlSection section, std::array<SkyOffset, 3>& dispersion) {
  constexpr std::array<std::string_view, 3> keys = {"red_arcsec", "green_arcsec", "blue_arcsec"};
  for (std::size_t c = 0; c < 3; ++c) {
    std::array<double, 2> xy = arcseconds(dispersion[c]);
    section.numbers(keys[c], xy);
    dispersion[c] = arcseconds(xy);
  }
  section.done();
}

void read_pointing(TomlSection section, Pointing& pointing) {
  std::array<double, 2> drift = arcseconds(pointing.drift_per_second);
  double jitter = pointing.jitter.arcsec();
  section.numbers("drift_arcsec_per_s", drift);
  section.number("jitter_arcsec", jitter);
  section.done();
  pointing.drift_per_second = arcseconds(drift);
  pointing.jitter = Angle::arcsec(jitter);
}

void read_light(TomlSection section, Brightness& brightness) {
  section.numbers("electrons", brightness.electrons);
  section.number("sky_electrons", brightness.sky_electrons);
  section.done();
}

void read_timing(TomlSection section, Timing& timing) {
  std::string start = timing.start.iso(6);
  auto frames = static_cast<std::int64_t>(timing.frames);
  std::int64_t parts = timing.parts;
  double frames_per_s = 1.0 / timing.interval.s();
  double exposure_ms = timing.exposure.ms();
  section.text("start", start);
  section.whole("frames", 1, 10'000'000, frames);
  section.number("frames_per_s", frames_per_s);
  section.number("exposure_ms", exposure_ms);
  section.whole("parts", 1, 64, parts);
  const auto utc = Utc::parse(start);
  if (utc) {
    timing.start = *utc;
  } else {
    section.refuse("start", "must be a time like \"2026-11-25T21:04:00Z\"");
  }
  section.done();
  timing.frames = static_cast<std::size_t>(frames);
  timing.interval = Duration::s(1.0 / frames_per_s);
  timing.exposure = Duration::ms(exposure_ms);
  timing.parts = static_cast<int>(parts);
}

Timing scenario_timing() {
  Timing timing;
  if (const auto start = Utc::civil(2026, 11, 25, 21, 4)) timing.start = *start;
  return timing;
}

}  // namespace

Result<ShotSpec> parse_shot(std::string_view text, std::string_view name) {
  HALFARC_TRY(const TomlFile file, TomlFile::parse(text, std::string(name)));
  ShotSpec shot;
  shot.timing = scenario_timing();
  Optics optics;
  auto seed = static_cast<std::int64_t>(shot.seed);
  TomlSection top = file.top();
  top.text("name", shot.name);
  top.whole("seed", 0, std::numeric_limits<std::int64_t>::max(), seed);
  read_telescope(top.section("telescope"), shot.instrument, optics);
  read_camera(top.section("camera"), shot, optics);
  read_body(top.section("body"), shot.body);
  read_light(top.section("light"), shot.brightness);
  read_air(top.section("air"), shot.air);
  read_dispersion(top.section("dispersion"), shot.dispersion);
  read_pointing(top.section("pointing"), shot.pointing);
  read_timing(top.section("timing"), shot.timing);
  top.done();
  HALFARC_CHECK(file.verdict());
  shot.seed = static_cast<std::uint64_t>(seed);
  shot.scale = PlateScale::per_pixel(
      Angle::rad(Length::um(optics.pixel_um) / (Length::mm(optics.focal_length_mm) * optics.amplifier)));
  if (const auto sound = check(shot); !sound) {
    // check() names the key; the file is the place.
    return bad_input(sound.error().where + " " + sound.error().what, std::string(name));
  }
  return shot;
}

Result<ShotSpec> read_shot_file(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  if (!file) return bad_input("cannot be read", path.string(), "give the name of a shot file (see examples/scenes)");
  const std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  if (file.bad())
    return bad_input("cannot be read", path.string(), "give the name of a shot file (see examples/scenes)");
  return parse_shot(text, path.string());
}

std::string shot_as_toml(const ShotSpec& shot) {
  const auto pair = [](const std::array<double, 2>& v) { return toml::array{v[0], v[1]}; };
  const Instrument& instrument = shot.instrument;
  // The scale is written as a pixel before a focal length of one metre, which is the same to the reader.
  toml::table telescope{{"diameter_mm", instrument.pupil.diameter.mm()},
                        {"obstruction", instrument.pupil.obstruction},
                        {"focal_length_mm", 1000.0},
                        {"amplifier", 1.0},
                        {"defocus_waves", instrument.defocus_waves},
                        {"coma_waves", pair({instrument.coma_x_waves, instrument.coma_y_waves})}};
  toml::table camera{{"pixel_um", shot.scale.angle(1.0).rad() * 1e6},
                     {"width", shot.width},
                     {"height", shot.height},
                     {"bits", shot.sensor.bits},
                     {"pattern", std::string(name(shot.sensor.mosaic))},
                     {"electrons_per_adu", shot.sensor.electrons_per_adu},
                     {"read_noise_e", shot.sensor.read_noise_e},
                     {"offset_adu", shot.sensor.offset_adu},
                     {"full_well_e", shot.sensor.full_well_e},
                     {"wavelengths_nm", toml::array{instrument.wavelengths[0].nm(), instrument.wavelengths[1].nm(),
                                                    instrument.wavelengths[2].nm()}}};
  std::string kind;
  for (const KindName& k : kKinds) {
    if (k.kind == shot.body.kind) kind = k.name;
  }
  toml::table body{{"kind", kind},
                   {"diameter_arcsec", shot.body.equatorial_diameter.arcsec()},
                   {"flattening", shot.body.flattening},
                   {"pole_angle_deg", shot.body.pole_angle.deg()},
                   {"latitude_deg", shot.body.sub_observer_latitude.deg()},
                   {"longitude_deg", shot.body.central_meridian.deg()},
                   {"phase_angle_deg", shot.body.phase_angle.deg()},
                   {"sun_angle_deg", shot.body.sun_angle.deg()},
                   {"centre_arcsec", pair(arcseconds(shot.body.centre))},
                   {"surface_seed", static_cast<std::int64_t>(shot.body.surface_seed)}};
  toml::array layers;
  for (const Layer& layer : shot.air.layers) {
    layers.push_back(toml::table{{"weight", layer.weight},
                                 {"wind_m_per_s", layer.wind.m_per_s()},
                                 {"direction_deg", layer.direction.deg()},
                                 {"height_m", layer.height.m()}});
  }
  toml::table air{{"r0_cm", shot.air.turbulence.r0.cm()},
                  {"outer_scale_m", shot.air.turbulence.outer_scale.m()},
                  {"layer", layers}};
  const toml::table document{
      {"name", shot.name},
      {"seed", static_cast<std::int64_t>(shot.seed)},
      {"telescope", telescope},
      {"camera", camera},
      {"body", body},
      {"light", toml::table{{"electrons", toml::array{shot.brightness.electrons[0], shot.brightness.electrons[1],
                                                      shot.brightness.electrons[2]}},
                            {"sky_electrons", shot.brightness.sky_electrons}}},
      {"air", air},
      {"dispersion", toml::table{{"red_arcsec", pair(arcseconds(shot.dispersion[0]))},
                                 {"green_arcsec", pair(arcseconds(shot.dispersion[1]))},
                                 {"blue_arcsec", pair(arcseconds(shot.dispersion[2]))}}},
      {"pointing", toml::table{{"drift_arcsec_per_s", pair(arcseconds(shot.pointing.drift_per_second))},
                               {"jitter_arcsec", shot.pointing.jitter.arcsec()}}},
      {"timing", toml::table{{"start", shot.timing.start.iso(6)},
                             {"frames", static_cast<std::int64_t>(shot.timing.frames)},
                             {"frames_per_s", 1.0 / shot.timing.interval.s()},
                             {"exposure_ms", shot.timing.exposure.ms()},
                             {"parts", shot.timing.parts}}}};
  std::ostringstream out;
  out << document << '\n';
  return out.str();
}

}  // namespace halfarc
