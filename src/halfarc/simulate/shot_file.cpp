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

constexpr std::int64_t kMost = std::numeric_limits<std::int64_t>::max();
constexpr std::array<BodyKind, 7> kKinds = {BodyKind::banded_giant, BodyKind::ruddy_disc,  BodyKind::ringed_giant,
                                            BodyKind::star,         BodyKind::cloudy_disc, BodyKind::cratered,
                                            BodyKind::blank_disc};
constexpr std::array<std::string_view, 7> kKindNames = {"banded giant", "ruddy disc", "ringed giant", "star",
                                                        "cloudy disc",  "cratered",   "blank disc"};

// How a quantity is written: made from a number and turned into one by the two functions that name the unit.
template <class Q>
struct Unit {
  Q (*of)(double);
  double (Q::*in)() const;
};
constexpr Unit<Angle> kDegrees{&Angle::deg, &Angle::deg};
constexpr Unit<Angle> kArcsec{&Angle::arcsec, &Angle::arcsec};
constexpr Unit<Length> kMetres{&Length::m, &Length::m};
constexpr Unit<Length> kCentimetres{&Length::cm, &Length::cm};
constexpr Unit<Length> kMillimetres{&Length::mm, &Length::mm};
constexpr Unit<Speed> kMetresPerSecond{&Speed::m_per_s, &Speed::m_per_s};
constexpr Unit<Duration> kSeconds{&Duration::s, &Duration::s};
constexpr Unit<Duration> kMilliseconds{&Duration::ms, &Duration::ms};
constexpr Unit<Duration> kDays{&Duration::days, &Duration::days};
constexpr Unit<AngularRate> kDegreesPerHour{&AngularRate::deg_per_hour, &AngularRate::deg_per_hour};

// One list of keys serves both ways: it reads them from a section of a file, or writes them into a table.
class Keys {
 public:
  explicit Keys(TomlSection from) : from_(std::move(from)) {}
  explicit Keys(toml::table& to) : to_(&to) {}

  void refuse(std::string_view key, std::string_view what) {
    if (from_) from_->refuse(key, what);
  }
  void done() {
    if (from_) from_->done();
  }

  void text(std::string_view key, std::string& value) {
    if (from_) return from_->text(key, value);
    to_->insert(key, value);
  }
  void number(std::string_view key, double& value) {
    if (from_) return from_->number(key, value);
    to_->insert(key, value);
  }
  template <class Q>
  void number(std::string_view key, Q& quantity, Unit<Q> unit) {
    double value = (quantity.*unit.in)();
    number(key, value);
    quantity = unit.of(value);
  }
  template <class Whole>
  void whole(std::string_view key, std::int64_t lowest, std::int64_t highest, Whole& value) {
    auto wide = static_cast<std::int64_t>(value);
    if (from_) {
      from_->whole(key, lowest, highest, wide);
    } else {
      to_->insert(key, wide);
    }
    value = static_cast<Whole>(wide);
  }
  void numbers(std::string_view key, std::span<double> values) {
    if (from_) return from_->numbers(key, values);
    toml::array array;
    for (const double v : values) array.push_back(v);
    to_->insert(key, array);
  }
  void pair(std::string_view key, double& x, double& y) {
    std::array<double, 2> xy{x, y};
    numbers(key, xy);
    x = xy[0];
    y = xy[1];
  }
  void arcseconds(std::string_view key, SkyOffset& offset) {
    std::array<double, 2> xy{offset.x.arcsec(), offset.y.arcsec()};
    numbers(key, xy);
    offset = {Angle::arcsec(xy[0]), Angle::arcsec(xy[1])};
  }
  void kind(std::string_view key, BodyKind& kind) {
    std::size_t index = 0;
    while (kKinds[index] != kind) ++index;
    if (from_) {
      from_->choice(key, kKindNames, index);
    } else {
      to_->insert(key, std::string(kKindNames[index]));
    }
    kind = kKinds[index];
  }

  // A table within, whose keys `list` names.
  template <class List>
  void section(std::string_view key, List list) {
    if (from_) {
      Keys keys(from_->section(key));
      list(keys);
      return keys.done();
    }
    toml::table table;
    Keys keys(table);
    list(keys);
    to_->insert(key, table);
  }
  // Several tables of one name; none of them in a file leaves the values as they are.
  template <class Value, class List>
  void sections(std::string_view key, std::vector<Value>& values, List list) {
    if (from_) {
      auto tables = from_->sections(key);
      if (!tables) return;
      values.clear();
      for (TomlSection& table : *tables) {
        Keys keys(std::move(table));
        list(keys, values.emplace_back());
        keys.done();
      }
      return;
    }
    toml::array array;
    for (Value& value : values) {
      toml::table table;
      Keys keys(table);
      list(keys, value);
      array.push_back(table);
    }
    to_->insert(key, array);
  }

 private:
  std::optional<TomlSection> from_;
  toml::table* to_ = nullptr;
};

// What the file states in its own words before it becomes a ShotSpec: the scale comes from three keys.
struct Optics {
  double focal_length_mm = 2030.0;
  double amplifier = 2.0;
  double pixel_um = 3.45;
};

void optics_keys(Keys& keys, OpticsMove& move) {
  keys.number("at_s", move.at, kSeconds);
  keys.number("lasting_s", move.lasting, kSeconds);
  keys.number("defocus_waves", move.by.defocus_waves);
  keys.pair("coma_waves", move.by.coma_x_waves, move.by.coma_y_waves);
  keys.arcseconds("image_arcsec", move.image);
}

void telescope_keys(Keys& keys, ShotSpec& shot, Optics& optics) {
  Instrument& instrument = shot.instrument;
  OpticsChange& change = shot.optics_change;
  keys.number("diameter_mm", instrument.pupil.diameter, kMillimetres);
  keys.number("obstruction", instrument.pupil.obstruction);
  keys.number("focal_length_mm", optics.focal_length_mm);
  keys.number("amplifier", optics.amplifier);
  keys.number("defocus_waves", instrument.defocus_waves);
  keys.pair("coma_waves", instrument.coma_x_waves, instrument.coma_y_waves);
  keys.number("defocus_waves_per_min", change.per_minute.defocus_waves);
  keys.pair("coma_waves_per_min", change.per_minute.coma_x_waves, change.per_minute.coma_y_waves);
  keys.sections("move", change.moves, optics_keys);
  keys.section("plume", [&](Keys& plume) {
    plume.number("rms_waves", shot.plume.rms_waves);
    plume.number("lasting_s", shot.plume.lasting, kSeconds);
    plume.number("up_deg", shot.plume.up, kDegrees);
  });
  keys.section("dew", [&](Keys& dew) {
    dew.number("loss", shot.dew.loss);
    dew.number("scattered", shot.dew.scattered);
    dew.number("halo_arcsec", shot.dew.halo, kArcsec);
    dew.number("begins_s", shot.dew.begins, kSeconds);
    dew.number("growing_s", shot.dew.growing, kSeconds);
  });
}

void camera_keys(Keys& keys, ShotSpec& shot, Optics& optics) {
  std::string pattern(name(shot.sensor.mosaic));
  std::array<double, 3> nm{};
  for (std::size_t c = 0; c < 3; ++c) nm[c] = shot.instrument.wavelengths[c].nm();
  keys.number("pixel_um", optics.pixel_um);
  keys.whole("width", 16, 8192, shot.width);
  keys.whole("height", 16, 8192, shot.height);
  keys.whole("bits", 8, 16, shot.sensor.bits);
  keys.text("pattern", pattern);
  keys.number("electrons_per_adu", shot.sensor.electrons_per_adu);
  keys.number("read_noise_e", shot.sensor.read_noise_e);
  keys.number("offset_adu", shot.sensor.offset_adu);
  keys.number("full_well_e", shot.sensor.full_well_e);
  keys.numbers("wavelengths_nm", nm);
  keys.number("hot_per_million", shot.blemishes.hot_per_million);
  keys.number("hot_electrons", shot.blemishes.hot_electrons);
  keys.sections("dust", shot.blemishes.dust, [](Keys& dust, DustShadow& shadow) {
    dust.pair("place_px", shadow.place.x, shadow.place.y);
    dust.number("diameter_px", shadow.diameter_px);
    dust.number("loss", shadow.loss);
  });
  if (const auto mosaic = mosaic_named(pattern)) {
    shot.sensor.mosaic = *mosaic;
  } else {
    keys.refuse("pattern", "must be mono, RGGB, GRBG, GBRG, BGGR or RGB");
  }
  for (std::size_t c = 0; c < 3; ++c) shot.instrument.wavelengths[c] = Length::nm(nm[c]);
}

void body_keys(Keys& keys, BodySpec& body) {
  keys.kind("kind", body.kind);
  keys.number("diameter_arcsec", body.equatorial_diameter, kArcsec);
  keys.number("flattening", body.flattening);
  keys.number("pole_angle_deg", body.pole_angle, kDegrees);
  keys.number("latitude_deg", body.sub_observer_latitude, kDegrees);
  keys.number("longitude_deg", body.central_meridian, kDegrees);
  keys.number("phase_angle_deg", body.phase_angle, kDegrees);
  keys.number("sun_angle_deg", body.sun_angle, kDegrees);
  keys.arcseconds("centre_arcsec", body.centre);
  keys.whole("surface_seed", 0, kMost, body.surface_seed);
  keys.number("spin_deg_per_hour", body.spin, kDegreesPerHour);
  keys.number("weather_days", body.weather_age, kDays);
  keys.number("clouds", body.clouds);
  keys.number("sun_radius_arcsec", body.sun_radius, kArcsec);
  keys.sections("moon", body.moons, [](Keys& entry, Moon& moon) {
    entry.arcseconds("place_arcsec", moon.place);
    entry.arcseconds("arcsec_per_hour", moon.per_hour);
    entry.number("towards_us_radii", moon.towards_us);
    entry.number("diameter_arcsec", moon.diameter, kArcsec);
    entry.numbers("reflectance", moon.reflectance);
  });
}

void air_keys(Keys& keys, AirSpec& air) {
  keys.number("r0_cm", air.turbulence.r0, kCentimetres);
  keys.number("outer_scale_m", air.turbulence.outer_scale, kMetres);
  keys.number("patch_arcsec", air.patch, kArcsec);
  keys.number("spells_spread", air.spells.spread);
  keys.number("spells_lasting_s", air.spells.lasting, kSeconds);
  keys.sections("layer", air.layers, [](Keys& entry, Layer& layer) {
    entry.number("weight", layer.weight);
    entry.number("wind_m_per_s", layer.wind, kMetresPerSecond);
    entry.number("direction_deg", layer.direction, kDegrees);
    entry.number("height_m", layer.height, kMetres);
    entry.number("pulse_every_s", layer.pulses.every, kSeconds);
    entry.number("pulse_duty", layer.pulses.duty);
  });
}

void pointing_keys(Keys& keys, Pointing& pointing) {
  keys.arcseconds("drift_arcsec_per_s", pointing.drift_per_second);
  keys.number("jitter_arcsec", pointing.jitter, kArcsec);
  keys.number("field_rotation_deg_per_hour", pointing.field_rotation, kDegreesPerHour);
  keys.arcseconds("turned_about_arcsec", pointing.turned_about);
  keys.section("periodic", [&](Keys& periodic) {
    periodic.arcseconds("amplitude_arcsec", pointing.periodic.amplitude);
    periodic.number("period_s", pointing.periodic.period, kSeconds);
    periodic.number("phase_turns", pointing.periodic.phase);
  });
  keys.section("wind", [&](Keys& wind) {
    wind.arcseconds("rms_arcsec", pointing.wind.rms);
    wind.number("gusts_per_s", pointing.wind.gusts_per_s);
    wind.number("cycles_per_s", pointing.wind.cycles_per_s);
    wind.number("quality", pointing.wind.quality);
  });
  keys.sections("key", pointing.keys, [](Keys& entry, KeyPress& press) {
    entry.number("at_s", press.at, kSeconds);
    entry.number("lasting_s", press.lasting, kSeconds);
    entry.arcseconds("by_arcsec", press.by);
  });
  keys.sections("nudge", pointing.nudges, [](Keys& entry, Nudge& nudge) {
    entry.number("at_s", nudge.at, kSeconds);
    entry.arcseconds("peak_arcsec", nudge.peak);
    entry.number("cycles_per_s", nudge.cycles_per_s);
    entry.number("settling_s", nudge.settling, kSeconds);
  });
}

void timing_keys(Keys& keys, Timing& timing) {
  std::string start = timing.start.iso(6);
  double frames_per_s = 1.0 / timing.interval.s();
  keys.text("start", start);
  keys.whole("frames", 1, 10'000'000, timing.frames);
  keys.number("frames_per_s", frames_per_s);
  keys.number("exposure_ms", timing.exposure, kMilliseconds);
  keys.whole("parts", 1, 64, timing.parts);
  keys.number("dropped", timing.clock.dropped);
  keys.number("lost_in_a_row", timing.clock.lost_in_a_row);
  keys.number("clock_jitter_ms", timing.clock.jitter, kMilliseconds);
  if (const auto utc = Utc::parse(start)) {
    timing.start = *utc;
  } else {
    keys.refuse("start", "must be a time like \"2026-11-25T21:04:00Z\"");
  }
  timing.interval = Duration::s(1.0 / frames_per_s);
}

void shot_keys(Keys& keys, ShotSpec& shot, Optics& optics) {
  keys.text("name", shot.name);
  keys.text("object", shot.object);
  keys.whole("seed", 0, kMost, shot.seed);
  keys.section("telescope", [&](Keys& k) { telescope_keys(k, shot, optics); });
  keys.section("camera", [&](Keys& k) { camera_keys(k, shot, optics); });
  keys.section("body", [&](Keys& k) { body_keys(k, shot.body); });
  keys.section("light", [&](Keys& k) {
    k.numbers("electrons", shot.brightness.electrons);
    k.number("sky_electrons", shot.brightness.sky_electrons);
  });
  keys.section("air", [&](Keys& k) { air_keys(k, shot.air); });
  keys.section("dispersion", [&](Keys& k) {
    k.arcseconds("red_arcsec", shot.dispersion[0]);
    k.arcseconds("green_arcsec", shot.dispersion[1]);
    k.arcseconds("blue_arcsec", shot.dispersion[2]);
    k.arcseconds("red_smear_arcsec", shot.instrument.smear[0]);
    k.arcseconds("green_smear_arcsec", shot.instrument.smear[1]);
    k.arcseconds("blue_smear_arcsec", shot.instrument.smear[2]);
  });
  keys.section("pointing", [&](Keys& k) { pointing_keys(k, shot.pointing); });
  keys.section("timing", [&](Keys& k) { timing_keys(k, shot.timing); });
}

}  // namespace

Result<ShotSpec> parse_shot(std::string_view text, std::string_view name) {
  HALFARC_TRY(const TomlFile file, TomlFile::parse(text, std::string(name)));
  ShotSpec shot;
  if (const auto start = Utc::civil(2026, 11, 25, 21, 4)) shot.timing.start = *start;
  shot.air.turbulence.wavelength = kSeeingWavelength;
  Optics optics;
  Keys keys(file.top());
  shot_keys(keys, shot, optics);
  keys.done();
  HALFARC_CHECK(file.verdict());
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
  // The scale is written as a pixel before a focal length of one metre, which is the same to the reader.
  Optics optics{1000.0, 1.0, shot.scale.angle(1.0).rad() * 1e6};
  ShotSpec written = shot;
  toml::table document;
  Keys keys(document);
  shot_keys(keys, written, optics);
  std::ostringstream out;
  out << document << '\n';
  return out.str();
}

}  // namespace halfarc
