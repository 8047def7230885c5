#include "halfarc/app/rig_file.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>
#include <vector>

#include "halfarc/app/home.h"
#include "halfarc/base/toml_section.h"
#include "halfarc/optics/passband.h"

namespace halfarc {
namespace {

constexpr const char* kEdit = "edit that line, or begin anew with halfarc init --force";

constexpr std::string_view kExample =
    R"(# The telescope and what is fixed to it. Edit what differs on yours; a key that is left out keeps the usual value of
# its kind of telescope or part. Lengths say their unit in the name of the key. Nothing here needs to be exact: halfarc
# measures what it can.

name = "203 mm f/10 with a 2.0x amplifier"

[telescope]
kind = "sct"             # "sct" (Schmidt-Cassegrain), "maksutov", "newtonian" or "refractor"
aperture_mm = 203.0      # clear diameter of the front opening
obstruction = 0.34       # diameter of the shadow in the middle over the aperture; 0 for a refractor
focal_ratio = 10.0       # focal length over aperture at the back focus below
back_focus_mm = 127.0    # from the rear port (or the focuser's end, racked in) to the focus, as it was designed
primary_ratio = 2.0      # sct and maksutov: focal ratio of the main mirror alone
# secondary_mm = 57.0    # sct and maksutov: clear diameter of the small mirror
axis_mm = 200.0          # from the rear port forward to the altitude axis; below 0 on a newtonian, whose port is ahead

[knob]                   # the focus knob; on an sct or maksutov it moves the main mirror
clockwise = "unknown"    # "inwards" when clockwise moves the focus towards the telescope, "outwards", or "unknown"
travel_um_per_turn = 750.0  # of the mirror; of the drawtube on a newtonian or refractor
backlash_turns = 0.05    # slack after turning back

[screws]                 # the three collimation screws: a, b and c clockwise, as seen from in front of the telescope
# radius_mm = 18.3       # of the circle they stand on; left out: 0.09 of the aperture, on a newtonian's mirror 0.4
pitch_mm = 0.7           # along the screw for a whole turn; one test turn teaches more than either figure

# Everything behind the rear port, in the order in which the light meets it. length_mm runs from the face that meets
# the part before it to the face that meets the next. clear_mm is the narrowest opening, mass_g what the
# kitchen scales say: leave either out if unknown.

[[part]]
kind = "spacer"          # a tube, an adapter, a visual back, a focuser without glass
name = "visual back"
length_mm = 75.7
clear_mm = 36.0
mass_g = 180.0

[[part]]
kind = "amplifier"       # Barlow or telecentric
name = "amplifier"
magnification = 2.0
telecentric = true       # whether the magnification stays when the camera moves away from it
length_mm = 72.0
lens_gap_mm = 60.0       # telecentric: between its two lenses; they begin 8 mm behind its front face
# lens_to_sensor_mm = 60.0  # not telecentric: the distance at which it has that magnification
clear_mm = 26.0
mass_g = 190.0

[[part]]
kind = "corrector"       # two-prism dispersion corrector
name = "corrector"
length_mm = 30.0
prism_deg = 4.0          # angle between the faces of each prism: 2 or 4 as a rule
prism_mm = 4.0           # thickness of each on the axis
gap_mm = 3.0             # of air between them
lowest_mark = 0.0        # what the levers show at their two ends; both at 0 cancel each other
highest_mark = 10.0
lever_deg_at_highest = 90.0
roll_deg = 0.0           # the way the target moves on the image when both levers open, clockwise from up
clear_mm = 26.0
mass_g = 150.0

[[part]]
kind = "filter"
name = "UV/IR cut"
length_mm = 5.0
glass_mm = 2.0
passes_nm = [400.0, 690.0]  # where it begins and ends to let light through
clear_mm = 26.0
mass_g = 15.0

[camera]
name = "colour camera"
pixel_um = 3.45
width_px = 1920
height_px = 1080
depth_mm = 17.5          # from its front face to the sensor
mass_g = 120.0           # with what hangs on it
bits = 12                # of the converter, not of the file
mosaic = "RGGB"          # colours from the top-left pixel; "mono" when there are none
full_well_e = 10400.0    # electrons that a pixel holds
read_noise_e = 1.5
most_e_per_adu = 2.54    # electrons a number at the lowest gain
least_e_per_adu = 0.05   # and at the highest
offset_adu = 16.0
megabytes_per_s = 360.0  # that the link and the disc take
most_frames_per_s = 1000.0

[cooling]
indoors_degc = 18.0      # where the telescope is kept
mirror_mm = 20.0         # mean thickness of the main mirror
fan_m_per_s = 0.0        # air across the mirror when a fan runs; 0 without one
wrap_mm = 0.0            # foam round the tube
breeze_m_per_s = 1.0     # at the tube, on a usual night
# time_constant_min = 70.0  # of the mirror, once you have measured it; replaces what follows from the above

[dew]
shield_mm = 0.0          # how far a shield stands out before the front glass
heater_w = 0.0           # what reaches the glass, about half of a strap's power
)";

constexpr std::array<std::string_view, 4> kTelescopes = {"sct", "maksutov", "newtonian", "refractor"};
constexpr std::array<std::string_view, 3> kSenses = {"unknown", "inwards", "outwards"};
constexpr std::array<std::string_view, 5> kParts = {"diagonal", "filter", "corrector", "amplifier", "spacer"};
constexpr std::array<PartKind, 5> kPartKinds = {PartKind::diagonal, PartKind::filter, PartKind::corrector,
                                                PartKind::amplifier, PartKind::spacer};

void read_mm(TomlSection& section, std::string_view key, double lowest, double highest, Length& length) {
  double mm = length.mm();
  section.number_within(key, lowest, highest, mm);
  length = Length::mm(mm);
}

Telescope usual(TelescopeKind kind, std::optional<Length> aperture) {
  switch (kind) {
    case TelescopeKind::maksutov:
      return aperture ? maksutov(*aperture) : maksutov();
    case TelescopeKind::newtonian:
      return aperture ? newtonian(*aperture) : newtonian();
    case TelescopeKind::refractor:
      return aperture ? refractor(*aperture) : refractor();
    case TelescopeKind::schmidt_cassegrain:
      break;
  }
  return aperture ? schmidt_cassegrain(*aperture) : schmidt_cassegrain();
}

void read_telescope(TomlSection section, Rig& rig) {
  Telescope& telescope = rig.telescope;
  std::size_t kind = 0;
  section.choice("kind", kTelescopes, kind);
  const bool sized = section.has("aperture_mm");
  Length aperture = Length::mm(203.0);
  read_mm(section, "aperture_mm", 50.0, 1000.0, aperture);
  telescope = usual(static_cast<TelescopeKind>(kind), sized ? std::optional(aperture) : std::nullopt);
  section.number_within("obstruction", 0.0, 0.6, telescope.obstruction);
  double ratio = telescope.focal_length / telescope.aperture;
  section.number_within("focal_ratio", 3.0, 30.0, ratio);
  telescope.focal_length = telescope.aperture * ratio;
  const Length before = telescope.back_focus;
  read_mm(section, "back_focus_mm", 10.0, 600.0, telescope.back_focus);
  if (!telescope.mirrors) {  // a focuser carries its reach with it
    telescope.least_back_focus += telescope.back_focus - before;
    telescope.most_back_focus += telescope.back_focus - before;
  } else {
    double primary = telescope.mirrors->primary_focal_length / telescope.aperture;
    Length secondary = telescope.mirrors->secondary_diameter;
    section.number_within("primary_ratio", 1.2, 5.0, primary);
    read_mm(section, "secondary_mm", 5.0, telescope.aperture.mm(), secondary);
    if (!(primary < 0.8 * ratio)) section.refuse("primary_ratio", "must be well below focal_ratio");
    telescope.mirrors =
        mirrors_for(telescope.aperture * primary, telescope.focal_length, Length::mm(50.0), telescope.back_focus);
    telescope.mirrors->secondary_diameter = secondary;
  }
  rig.mount = typical_mount(telescope);
  read_mm(section, "axis_mm", -5000.0, 5000.0, rig.mount.axis_before_port);
  section.done();
}

void read_knob(TomlSection section, Rig& rig) {
  std::size_t sense = 0;
  Knob& knob = rig.telescope.knob;
  double um = knob.travel_per_turn.um();
  section.choice("clockwise", kSenses, sense);
  section.number_within("travel_um_per_turn", 10.0, 100'000.0, um);
  section.number_within("backlash_turns", 0.0, 2.0, knob.backlash_turns);
  section.done();
  rig.knob_sense_known = sense != 0;
  if (rig.knob_sense_known) knob.clockwise_is_skyward = kSenses[sense] == "outwards";
  knob.travel_per_turn = Length::um(um);
}

void read_screws(TomlSection section, Rig& rig) {
  rig.screws = usual_screws(rig.telescope);
  read_mm(section, "radius_mm", 2.0, 600.0, rig.screws.radius);
  read_mm(section, "pitch_mm", 0.1, 3.0, rig.screws.pitch);
  section.done();
}

void read_filter(TomlSection& section, Part& part, Rig& rig) {
  part.glass = Length::mm(2.0);
  read_mm(section, "glass_mm", 0.0, 30.0, part.glass);
  if (!section.has("passes_nm")) return;
  std::array<double, 2> passes{};
  section.numbers("passes_nm", passes);
  if (!(passes[0] >= 300.0 && passes[0] < passes[1] && passes[1] <= 1100.0))
    section.refuse("passes_nm", "must be two wavelengths between 300 and 1100, the shorter first");
  rig.filters.push_back({part.name, 0.97 * SpectralCurve::box(Length::nm(passes[0]), Length::nm(passes[1]))});
}

void read_corrector(TomlSection& section, Part& part, Rig& rig) {
  PrismPair pair;
  double prism_deg = pair.apex.deg(), lever_deg = pair.scale.at_highest.deg(), roll_deg = 0.0;
  section.number_within("prism_deg", 0.1, 10.0, prism_deg);
  read_mm(section, "prism_mm", 0.5, 30.0, pair.thickness);
  read_mm(section, "gap_mm", 0.0, 50.0, pair.gap);
  section.number_within("lowest_mark", -1000.0, 1000.0, pair.scale.lowest);
  section.number_within("highest_mark", -1000.0, 1000.0, pair.scale.highest);
  section.number_within("lever_deg_at_highest", 1.0, 90.0, lever_deg);
  section.number_within("roll_deg", -360.0, 360.0, roll_deg);
  if (!(pair.scale.highest > 0.0 && pair.scale.highest > pair.scale.lowest))
    section.refuse("highest_mark", "must be above 0 and above lowest_mark");
  pair.apex = Angle::deg(prism_deg);
  pair.scale.at_highest = Angle::deg(lever_deg);
  pair.roll = Angle::deg(roll_deg);
  part.glass = 2.0 * pair.thickness;
  rig.corrector = pair;
}

void read_amplifier(TomlSection& section, Part& part) {
  double magnification = 2.0;
  bool telecentric = false;
  Length gap = Length::mm(60.0), to_sensor = Length::mm(60.0), at = Length::mm(8.0);
  section.number_within("magnification", 1.05, 10.0, magnification);
  section.flag("telecentric", telecentric);
  read_mm(section, "lens_gap_mm", 5.0, 300.0, gap);
  read_mm(section, "lens_to_sensor_mm", 10.0, 500.0, to_sensor);
  read_mm(section, "lens_mm", -200.0, 200.0, at);
  part.lenses =
      telecentric ? telecentric_amplifier(magnification, gap, at) : single_amplifier(magnification, to_sensor, at);
  part.transmission = 0.97;
}

void read_part(TomlSection& section, Rig& rig) {
  std::size_t kind = 4;
  section.require("kind");
  section.choice("kind", kParts, kind);
  Part part;
  part.kind = kPartKinds[kind];
  part.name = kParts[kind];
  section.text("name", part.name);
  const double shortest = part.kind == PartKind::amplifier ? 0.0 : 0.1;
  section.require("length_mm");
  read_mm(section, "length_mm", shortest, 1000.0, part.length);
  read_mm(section, "clear_mm", 1.0, 300.0, part.clear_aperture);
  section.number_within("mass_g", 0.0, 20'000.0, part.mass_g);
  if (part.kind == PartKind::filter) read_filter(section, part, rig);
  if (part.kind == PartKind::corrector) {
    if (rig.corrector) section.refuse("kind", "\"corrector\" may stand once only");
    read_corrector(section, part, rig);
  }
  if (part.kind == PartKind::amplifier) read_amplifier(section, part);
  if (part.kind == PartKind::diagonal) {
    read_mm(section, "glass_mm", 0.0, 120.0, part.glass);
    part.transmission = 0.95;
  }
  for (const Part& other : rig.train.parts) {
    if (other.name == part.name)
      section.refuse(section.has("name") ? "name" : "kind", "is taken: give this part a name of its own");
  }
  section.done();
  rig.train.parts.push_back(part);
}

void read_camera(TomlSection section, Rig& rig) {
  Detector& camera = rig.camera;
  Part part;
  part.kind = PartKind::camera;
  part.name = "camera";
  part.length = Length::mm(17.5);
  double pixel_um = camera.pixel.um(), megabytes = camera.bytes_per_s * 1e-6;
  std::int64_t width = camera.width, height = camera.height, bits = camera.bits;
  std::string mosaic(name(rig.mosaic));
  section.text("name", part.name);
  section.number_within("pixel_um", 0.5, 30.0, pixel_um);
  section.whole("width_px", 16, 20'000, width);
  section.whole("height_px", 16, 20'000, height);
  read_mm(section, "depth_mm", 0.0, 100.0, part.length);
  section.number_within("mass_g", 0.0, 20'000.0, part.mass_g);
  section.whole("bits", 8, 16, bits);
  section.text("mosaic", mosaic);
  section.number_within("full_well_e", 100.0, 1e6, camera.full_well_e);
  section.number_within("read_noise_e", 0.0, 100.0, camera.read_noise_e);
  section.number_within("most_e_per_adu", 1e-4, 1000.0, camera.most_e_per_adu);
  section.number_within("least_e_per_adu", 1e-4, 1000.0, camera.least_e_per_adu);
  section.number_within("offset_adu", 0.0, 60'000.0, camera.offset_adu);
  section.number_within("megabytes_per_s", 1.0, 1e5, megabytes);
  section.number_within("most_frames_per_s", 0.1, 1e5, camera.most_frames_per_s);
  if (const auto known = mosaic_named(mosaic)) {
    rig.mosaic = *known;
  } else {
    section.refuse("mosaic", "must be mono, RGGB, GRBG, GBRG, BGGR or RGB");
  }
  if (camera.least_e_per_adu > camera.most_e_per_adu)
    section.refuse("least_e_per_adu", "must not be above most_e_per_adu");
  section.done();
  camera.pixel = Length::um(pixel_um);
  camera.width = static_cast<int>(width);
  camera.height = static_cast<int>(height);
  camera.bits = static_cast<int>(bits);
  camera.bytes_per_s = megabytes * 1e6;
  part.clear_aperture = camera.pixel * std::hypot(camera.width, camera.height);
  rig.train.parts.push_back(part);
}

void read_cooling(TomlSection section, Rig& rig) {
  double indoors = rig.indoors.celsius(), fan = rig.tube.fan.m_per_s(), breeze = rig.tube.breeze.m_per_s();
  double minutes = 70.0;
  const bool timed = section.has("time_constant_min");
  rig.tube.aperture = rig.telescope.aperture;
  rig.tube.mirror_thickness = rig.telescope.aperture * (20.0 / 203.0);
  rig.tube.tube_length = rig.telescope.aperture * (410.0 / 203.0);
  section.number_within("indoors_degc", -30.0, 50.0, indoors);
  read_mm(section, "mirror_mm", 2.0, 200.0, rig.tube.mirror_thickness);
  section.number_within("fan_m_per_s", 0.0, 20.0, fan);
  read_mm(section, "wrap_mm", 0.0, 100.0, rig.tube.wrap);
  section.number_within("breeze_m_per_s", 0.0, 20.0, breeze);
  section.number_within("time_constant_min", 1.0, 1000.0, minutes);
  section.done();
  rig.indoors = Temperature::celsius(indoors);
  rig.tube.fan = Speed::m_per_s(fan);
  rig.tube.breeze = Speed::m_per_s(breeze);
  if (timed) rig.time_constant = Duration::minutes(minutes);
}

void read_dew(TomlSection section, Rig& rig) {
  read_mm(section, "shield_mm", 0.0, 2000.0, rig.shield);
  section.number_within("heater_w", 0.0, 200.0, rig.heater_w);
  section.done();
}

// The next comma outside brackets, "passes_nm=[400,690]", or the end.
std::size_t end_of_pair(std::string_view words, std::size_t begin) {
  bool inside = false;
  for (std::size_t i = begin; i < words.size(); ++i) {
    if (words[i] == '[') inside = true;
    if (words[i] == ']') inside = false;
    if (words[i] == ',' && !inside) return i;
  }
  return words.size();
}

}  // namespace

std::string_view example_rig_text() { return kExample; }

Result<Rig> parse_rig_file(std::string_view text, const std::string& where) {
  HALFARC_TRY(const TomlFile file, TomlFile::parse(text, where, kEdit));
  TomlSection top = file.top();
  Rig rig;
  top.text("name", rig.name);
  read_telescope(top.section("telescope"), rig);
  read_knob(top.section("knob"), rig);
  read_screws(top.section("screws"), rig);
  for (TomlSection& part : top.sections("part").value_or(std::vector<TomlSection>())) read_part(part, rig);
  read_camera(top.section("camera"), rig);
  read_cooling(top.section("cooling"), rig);
  read_dew(top.section("dew"), rig);
  top.done();
  HALFARC_CHECK(file.verdict());
  const Result<TrainSolution> solved = solve(rig);
  if (!solved) return bad_input(solved.error().what, where, solved.error().to_do);
  return rig;
}

Result<void> add_part(Rig& rig, std::string_view words, std::size_t at) {
  const std::string to_do = "write for example kind=spacer,length_mm=20";
  std::string text = "[[part]]\n";
  for (std::size_t begin = 0; begin <= words.size();) {
    const std::size_t end = end_of_pair(words, begin);
    const std::string_view pair = words.substr(begin, end - begin);
    begin = end + 1;
    const std::size_t equals = pair.find('=');
    if (equals == std::string_view::npos)
      return bad_input("a part is written as keys and values", std::string(words), to_do);
    const std::string_view key = pair.substr(0, equals), value = pair.substr(equals + 1);
    const std::string_view quote = key == "kind" || key == "name" ? "\"" : "";
    text.append(key).append(" = ").append(quote).append(value).append(quote).append("\n");
  }
  HALFARC_TRY(const TomlFile file, TomlFile::parse(text, std::string(words), to_do));
  TomlSection top = file.top();
  Rig one;
  for (TomlSection& part : top.sections("part").value_or(std::vector<TomlSection>())) read_part(part, one);
  HALFARC_CHECK(file.verdict());
  const Part& part = one.train.parts.front();
  for (const Part& other : rig.train.parts) {
    if (other.name == part.name)
      return bad_input("there is a part named " + part.name + " already", std::string(words), "give it another name=");
  }
  if (one.corrector && rig.corrector)
    return bad_input("the train has a corrector already", std::string(words), "take that out with --remove first");
  HALFARC_TRY(rig.train, with_part(rig.train, at, part));
  if (one.corrector) rig.corrector = one.corrector;
  rig.filters.insert(rig.filters.end(), one.filters.begin(), one.filters.end());
  return {};
}

Result<void> remove_part(Rig& rig, const std::string& name) {
  HALFARC_TRY(const Train train, without_part(rig.train, name));
  for (const Part& part : rig.train.parts) {
    if (part.name == name && part.kind == PartKind::corrector) rig.corrector.reset();
  }
  rig.filters.erase(std::remove_if(rig.filters.begin(), rig.filters.end(),
                                   [&](const FilterColours& filter) { return filter.part == name; }),
                    rig.filters.end());
  rig.train = train;
  return {};
}

Result<std::optional<Rig>> rig_of_home(const std::filesystem::path& home) {
  HALFARC_TRY(const auto text, text_of_home_file(home, "rig.toml"));
  if (!text) return std::optional<Rig>();
  HALFARC_TRY(Rig rig, parse_rig_file(*text, (home / "rig.toml").string()));
  return std::optional<Rig>(std::move(rig));
}

}  // namespace halfarc
