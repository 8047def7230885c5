#include "halfarc/app/train_target.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "halfarc/app/target_light.h"
#include "halfarc/optics/prism_trace.h"
#include "halfarc/sky/rotation.h"

namespace halfarc {
namespace {

constexpr Angle kLowest = Angle::deg(10.0);

// What the other steps need of the target, worked out once.
struct Scene {
  const Rig& rig;
  const TrainSolution& train;
  const TrainTarget& target;
  const Whereabouts& where;
  double airmass = 1.0;
  Weather weather;
  std::array<SpectralCurve, 3> weights;  // how much each colour counts in red, green and blue
  std::array<Length, 3> means;           // wavelengths
  SpectralCurve lift;                    // by the air, arcseconds

  sky::Body body() const { return target.where.body; }
  Length height() const { return target.where.site.height; }
  bool colours() const { return rig.mosaic != Mosaic::mono; }
  std::vector<ReasonInput> air_inputs() const {
    return {{"altitude as seen", where.refracted_altitude.deg(), "deg"},
            {"pressure", weather.pressure.hpa(), "hPa"},
            {"temperature", weather.temperature.celsius(), "degC"},
            {"humidity", 100.0 * weather.relative_humidity, "%"}};
  }
};

Scene scene_of(const Rig& rig, const TrainSolution& train, const TrainTarget& target, const Whereabouts& where) {
  Scene s{rig, train, target, where, *where.airmass, {}, {}, {}, {}};
  s.weather = target.where.weather.value_or(sky::usual_weather(target.where.site.height));
  s.weights = plane_weights(rig, target.where.body, s.airmass, target.where.site.height);
  for (std::size_t c = 0; c < 3; ++c) s.means[c] = mean_wavelength(s.weights[c]);
  s.lift = SpectralCurve::of([&](Length w) { return lift(w, s.weather, where.refracted_altitude).arcsec(); });
  return s;
}

void add_dispersion(const Scene& s, TrainAtTarget& at, std::vector<Reason>& why) {
  at.air = dispersed_planes(s.rig, s.body(), s.weather, s.where.refracted_altitude, s.height());
  why.push_back({"dispersion/altitude_deg",
                 "altitude as seen",
                 s.where.refracted_altitude.deg(),
                 2,
                 "deg",
                 "altitude without air + refraction",
                 {{"altitude without air", s.where.place.horizontal.altitude.deg(), "deg"}},
                 "ERFA refco; [Saemundsson1986] below 10 deg"});
  const auto add = [&](const char* field, std::string what, Angle value, std::string formula, std::size_t colour) {
    auto inputs = s.air_inputs();
    if (colour != 1) inputs.push_back({"mean wavelength", s.means[colour].nm(), "nm"});
    inputs.push_back({s.colours() ? "green's mean wavelength" : "mean wavelength", s.means[1].nm(), "nm"});
    why.push_back({field, std::move(what), value.arcsec(), 3, "\"", std::move(formula), std::move(inputs),
                   "lift [Stone1996] with the index of [Ciddor1996]; weighting [Filippenko1982]"});
  };
  const char* centres =
      "mean lift of one plane - of the other, each colour weighted with body x air x telescope x filters x sensor";
  if (s.colours()) {
    add("dispersion/red_minus_green_arcsec", "how much higher the air puts red than green",
        at.air[0].centroid - at.air[1].centroid, centres, 0);
    add("dispersion/blue_minus_green_arcsec", "how much higher the air puts blue than green",
        at.air[2].centroid - at.air[1].centroid, centres, 2);
  }
  add(s.colours() ? "dispersion/inside_green_arcsec" : "dispersion/inside_arcsec",
      s.colours() ? "rms width of green by the air" : "rms width of the light by the air", at.air[1].rms_width,
      "standard deviation of the lift inside the plane, weighted likewise", 1);
}

CorrectorThere corrector_at(const Scene& s, const TrainSolution& train, const CorrectorPlace& place) {
  const PrismPair& pair = *s.rig.corrector;
  CorrectorThere there;
  there.setting = s.colours() ? marks_for(pair, place, s.lift, s.weights[0], s.weights[2])
                              : marks_for(pair, place, s.lift, s.weights[1]);
  const Levers levers = both_at(there.setting.marks);
  there.lever = lever_angle(pair.scale, there.setting.marks);
  std::array<PlaneLeft, 3> left;
  for (std::size_t c = 0; c < 3; ++c) {
    left[c] = plane_left(pair, levers, place, pair.roll + Angle::deg(180.0), s.lift, s.weights[c]);
  }
  there.residual = left[2].along.centre - left[0].along.centre;
  there.residual_across = left[2].across.centre - left[0].across.centre;
  there.inside_green = left[1].along.width;
  // Beyond an amplifier that follows, the image moves as many times further.
  const SensorOffset moved = target_shift(pair, both_at(0.0), levers, place, s.means[1]);
  there.target_shift = in_pixels(moved, s.rig.camera.pixel) * (train.focal_length / place.focal_length);
  if (const auto image = traced_image(pair, levers, place, s.means[1])) there.strehl = image->strehl;
  return there;
}

// The train with the corrector on the other side of the amplifier, or nothing.
std::optional<TrainSolution> other_order(const Rig& rig) {
  const auto& parts = rig.train.parts;
  const auto of = [&](PartKind kind) {
    return std::find_if(parts.begin(), parts.end(), [&](const Part& p) { return p.kind == kind; });
  };
  const auto corrector = of(PartKind::corrector), amplifier = of(PartKind::amplifier);
  if (corrector == parts.end() || amplifier == parts.end()) return std::nullopt;
  const auto moved = with_part_moved(rig.train, corrector->name, static_cast<std::size_t>(amplifier - parts.begin()));
  if (!moved) return std::nullopt;
  const auto solved = solve(*moved, rig.telescope);
  return solved ? std::optional(*solved) : std::nullopt;
}

bool is_behind_amplifier(const TrainSolution& train) {
  for (const PlacedPart& placed : train.parts) {
    if (placed.part.kind == PartKind::amplifier) return true;
    if (placed.part.kind == PartKind::corrector) return false;
  }
  return false;
}

void explain_corrector(const Scene& s, const CorrectorThere& there, const CorrectorPlace& place, Angle air,
                       const std::string& at, std::vector<Reason>& why) {
  const PrismPair& pair = *s.rig.corrector;
  const std::vector<ReasonInput> prisms = {{"apex", pair.apex.deg(), "deg"},
                                           {"to the focus", place.to_focus.mm(), "mm"},
                                           {"focal length there", place.focal_length.mm(), "mm"},
                                           {"lever", there.lever.deg(), "deg"}};
  const auto add = [&](const char* field, std::string what, double value, int decimals, std::string unit,
                       std::string formula, std::vector<ReasonInput> inputs, std::string source) {
    why.push_back({at + "/" + field, std::move(what), value, decimals, std::move(unit), std::move(formula),
                   std::move(inputs), std::move(source)});
  };
  const std::string where = there.place.empty() ? "" : ", corrector " + there.place;
  add("lever_marks", "both levers" + where, there.setting.marks, 2, "marks",
      "marks at the lever angle a, in proportion: marks = highest x a / (angle at highest)",
      {{"lever", there.lever.deg(), "deg"},
       {"highest", pair.scale.highest, "marks"},
       {"angle at highest", pair.scale.at_highest.deg(), "deg"}},
      "definition of the scale");
  add("lever_deg", "each prism from where the two cancel" + where, there.lever.deg(), 2, "deg",
      s.colours() ? "a = arcsin(air's blue above red / dispersion of both prisms together)"
                  : "a of the pull whose curve comes nearest to the air's, by least squares",
      {{"air's blue above red", air.arcsec(), "\""},
       {"the most the prisms cancel", there.setting.reach.arcsec(), "\""},
       {"apex", pair.apex.deg(), "deg"},
       {"to the focus", place.to_focus.mm(), "mm"}},
      "thin wedges, (n - 1) A [BornWolf1999] 4.7.2");
  if (s.colours()) {
    add("residual_arcsec", "blue above red that is left, along the pull" + where, there.residual.arcsec(), 3, "\"",
        "mean of (air's lift + prisms' shift) over blue - over red", prisms, "definition; colours weighted as above");
    add("residual_across_arcsec", "blue beside red that is left, square to the pull" + where,
        there.residual_across.arcsec(), 3, "\"", "the gap's share: pull x gap of air x cos a / focal length", prisms,
        "vector sum of [BornWolf1999] 4.7.2");
  }
  add(s.colours() ? "inside_green_arcsec" : "inside_arcsec",
      (s.colours() ? "rms width of green that is left" : "rms width of the light that is left") + where,
      there.inside_green.arcsec(), 3, "\"", "standard deviation of (air's lift + prisms' shift) inside the plane",
      prisms, "definition");
  add("target_shift_px", "how far the target moves when both levers come from 0" + where, there.target_shift.length(),
      0, "px", "2 (n - 1) A sin a x distance to the focus x (focal length / focal length there) / pixel",
      {{"apex", pair.apex.deg(), "deg"},
       {"lever", there.lever.deg(), "deg"},
       {"to the focus", place.to_focus.mm(), "mm"},
       {"focal length", s.train.focal_length.mm(), "mm"},
       {"focal length there", place.focal_length.mm(), "mm"},
       {"pixel", s.rig.camera.pixel.um(), "um"}},
      "[BornWolf1999] 4.7.2");
  add("target_shift_towards_deg", "where it moves on the image, clockwise from up" + where,
      std::fmod(std::round(direction_of(there.target_shift).deg()), 360.0), 0, "deg",
      "direction of the sum of both prisms' pulls", {{"roll", pair.roll.deg(), "deg"}}, "roll as the rig gives it");
  if (there.strehl) {
    add("strehl", "share of the perfect peak that the prisms leave" + where, *there.strehl, 3, "",
        "6 x 16 exact rays through four faces; best focus; pupil's field summed",
        {{"focal ratio there", place.cone.focal_ratio, ""},
         {"lever", there.lever.deg(), "deg"},
         {"wavelength", s.means[1].nm(), "nm"}},
        "[BornWolf1999] 4.9, 9.1");
  }
}

void add_corrector(const Scene& s, TrainAtTarget& at, std::vector<Reason>& why, std::vector<std::string>& cautions) {
  const auto place = corrector_place(s.train);
  if (!s.rig.corrector || !place) return;
  const Angle air = at.air[2].centroid - at.air[0].centroid;
  at.corrector = corrector_at(s, s.train, *place);
  const auto moved = other_order(s.rig);
  const auto moved_place = moved ? corrector_place(*moved) : std::nullopt;
  if (moved_place) {
    at.corrector->place = is_behind_amplifier(s.train) ? "behind the amplifier" : "before the amplifier";
    at.other = corrector_at(s, *moved, *moved_place);
    at.other->place = is_behind_amplifier(*moved) ? "behind the amplifier" : "before the amplifier";
  }
  explain_corrector(s, *at.corrector, *place, air, "prisms", why);
  if (at.other) explain_corrector(s, *at.other, *moved_place, air, "prisms/other_order", why);
  if (!at.corrector->setting.enough)
    cautions.push_back(
        fmt::format("The corrector cannot cancel all of it: {:.2f}\" would be left with the levers wide.",
                    at.corrector->setting.left.arcsec()));
}

// A region that holds the disc with room to drift; of the Moon, the whole sensor.
Region region_for(const Scene& s) {
  const Detector& camera = s.rig.camera;
  if (s.target.region) return *s.target.region;
  if (s.body() == sky::Body::moon) return {camera.width, camera.height};
  const double px = plate_scale(s.rig, s.train).pixels(s.where.disc.equatorial_diameter);
  const int room = 16 * static_cast<int>(std::ceil(1.6 * px / 16.0));
  const Region usual;
  return {std::min(camera.width, std::max(usual.width, room)), std::min(camera.height, std::max(usual.height, room))};
}

void add_exposure(const Scene& s, TrainAtTarget& at, std::vector<Reason>& why) {
  if (!s.where.surface_magnitude) return;
  const auto electrons =
      target_electrons_per_s(s.rig, s.train, s.body(), *s.where.surface_magnitude, s.airmass, s.height());
  const double brightest = *std::max_element(electrons.begin(), electrons.end());
  ExposureWish wish;
  wish.longest = std::min(
      longest_still_exposure(s.target.r0_at_zenith, s.airmass, s.train.pupil.diameter, s.target.wind), at.longest_run);
  wish.peak = s.target.peak;
  wish.peak_over_mean = kPeakOverMean;
  wish.region = at.region;
  const ExposureChoice choice = choose_exposure(s.rig.camera, electrons, wish);
  at.exposure = choice;
  const Detector& camera = s.rig.camera;
  const double peak = std::max({choice.histograms[0].peak, choice.histograms[1].peak, choice.histograms[2].peak});
  why.push_back({"exposure/electrons_per_s",
                 "electrons a second in a pixel of the brightest plane",
                 brightest,
                 0,
                 "e/s",
                 "photons of the surface x air x telescope x filters x sensor x open area x (scale)^2",
                 {{"surface magnitude", *s.where.surface_magnitude, "a square arcsecond"},
                  {"airmass", s.airmass, ""},
                  {"opening", s.train.pupil.diameter.mm(), "mm"},
                  {"scale", plate_scale(s.rig, s.train).arcsec_per_px(), "\"/px"}},
                 "[Bessell1998], [Mallama2018], [HayesLatham1975]; good to 20 %"});
  why.push_back({"exposure/longest_ms",
                 "longest exposure that the air freezes",
                 wish.longest.ms(),
                 2,
                 "ms",
                 "motion within the exposure smears no more than leaves 95 % of half-arc contrast",
                 {{"r0 at the zenith", s.target.r0_at_zenith.cm(), "cm"},
                  {"airmass", s.airmass, ""},
                  {"wind aloft", s.target.wind.m_per_s(), "m/s"},
                  {"opening", s.train.pupil.diameter.mm(), "mm"}},
                 "[Martin1987], [Tokovinin2002]; the share is common practice"});
  why.push_back({"exposure/ms",
                 "exposure",
                 choice.exposure.ms(),
                 2,
                 "ms",
                 "the shorter of what the air freezes and what fills the well to the wished peak",
                 {{"air freezes", wish.longest.ms(), "ms"},
                  {"electrons a second", brightest, ""},
                  {"brightest detail over mean", kPeakOverMean, ""},
                  {"well", camera.full_well_e, "e"}},
                 "common practice; noise [Merline1995]"});
  why.push_back({"exposure/gain",
                 "electrons a number",
                 choice.e_per_adu,
                 3,
                 "e/ADU",
                 "(brightest detail + 3 sigma) / (wished peak x full scale - black level), within the camera's gains",
                 {{"exposure", choice.exposure.ms(), "ms"},
                  {"wished peak", wish.peak, ""},
                  {"full scale", full_scale_adu(camera), "ADU"},
                  {"black level", camera.offset_adu, "ADU"}},
                 "[Janesick2007]; three sigma common practice"});
  why.push_back({"exposure/peak_fraction",
                 "peak of the brightest plane, of full scale",
                 peak,
                 3,
                 "",
                 "(black level + (brightest detail + 3 sigma) / gain) / full scale",
                 {{"gain", choice.e_per_adu, "e/ADU"}, {"exposure", choice.exposure.ms(), "ms"}},
                 "[Janesick2007]"});
  why.push_back({"exposure/frames_per_s",
                 "frames a second",
                 choice.frames.per_s,
                 1,
                 "",
                 "the least of 1 / exposure, link / bytes of a frame, and the sensor's most",
                 {{"exposure", choice.exposure.ms(), "ms"},
                  {"link", camera.bytes_per_s * 1e-6, "MB/s"},
                  {"bytes of a frame", frame_bytes(camera, at.region), ""},
                  {"sensor's most", camera.most_frames_per_s, ""}},
                 "common practice"});
  why.push_back(
      {"exposure/gigabytes_per_minute",
       "data of one minute",
       choice.gigabytes_per_minute,
       2,
       "GB",
       "frames a second x bytes of a frame x 60",
       {{"frames a second", choice.frames.per_s, ""}, {"bytes of a frame", frame_bytes(camera, at.region), ""}},
       "definition"});
}

void add_smear(const Scene& s, TrainAtTarget& at, std::vector<Reason>& why) {
  const sky::Disc& disc = s.where.disc;
  const bool moon = s.body() == sky::Body::moon;
  const PlateScale scale = plate_scale(s.rig, s.train);
  // Of the Moon the sensor holds a part: its corners are what the turning field moves most.
  const Angle across = moon ? scale.angle(std::hypot(at.region.width, at.region.height)) : disc.equatorial_diameter;
  const AngularRate spin = moon ? AngularRate() : spin_rate(s.body(), sky::systems_of(s.body()).back());
  at.smear = sky::smear(across, spin, disc.sub_observer.planetocentric_latitude, s.where.field_rotation);
  at.longest_run = sky::longest_run(at.smear, s.target.allowed_smear);
  if (!moon) {
    why.push_back({"smear/centre_arcsec_per_min",
                   "drift of detail in the middle of the disc by the globe's spin",
                   at.smear.centre.arcsec_per_minute(),
                   3,
                   "\"/min",
                   "pi D / period x cos(latitude that faces us)",
                   {{"diameter D", across.arcsec(), "\""},
                    {"period", 2.0 * std::numbers::pi / std::abs(spin.rad_per_s()) / 3600.0, "h"},
                    {"latitude", disc.sub_observer.planetocentric_latitude.deg(), "deg"}},
                   "geometry; spin [Archinal2018]"});
  }
  why.push_back({"smear/limb_field_rotation_arcsec_per_min",
                 moon ? "drift of detail in the corner of the region by the turning field"
                      : "drift of detail at the limb by the turning field",
                 at.smear.limb.arcsec_per_minute(),
                 3,
                 "\"/min",
                 "D / 2 x field rotation",
                 {{moon ? "diagonal D" : "diameter D", across.arcsec(), "\""},
                  {"field rotation", s.where.field_rotation.deg_per_hour(), "deg/h"}},
                 "-omega cos(latitude) cos(azimuth) / cos(altitude) [Meeus1998] 13, 14"});
  if (!std::isfinite(at.longest_run.s())) return;
  why.push_back({"smear/longest_run_s",
                 "longest run before detail smears",
                 at.longest_run.s(),
                 0,
                 "s",
                 "allowed smear / the faster of the two",
                 {{"allowed smear", s.target.allowed_smear.arcsec(), "\""},
                  {"faster", at.smear.worst.arcsec_per_minute(), "\"/min"}},
                 "geometry; half of half an arcsecond is common practice"});
}

}  // namespace

Result<TrainAtTarget> train_at_target(const Rig& rig, const TrainSolution& train, const TrainTarget& target,
                                      std::vector<Reason>& why, std::vector<std::string>& cautions) {
  TrainAtTarget at;
  HALFARC_TRY(at.where, where_body(target.where));
  const std::string name(name_of(target.where.body));
  if (!at.where.airmass) {
    return bad_input(fmt::format("{} is below the horizon, at {:.1f} deg", name, at.where.refracted_altitude.deg()),
                     target.where.utc.iso(0), "choose another time: halfarc plan says when it is up");
  }
  cautions.insert(cautions.end(), at.where.cautions.begin(), at.where.cautions.end());
  if (at.where.refracted_altitude < kLowest)
    cautions.push_back(name + " stands below 10 deg, where figures of air are no longer good.");
  const Scene scene = scene_of(rig, train, target, at.where);
  at.region = region_for(scene);
  add_dispersion(scene, at, why);
  add_corrector(scene, at, why, cautions);
  add_smear(scene, at, why);
  add_exposure(scene, at, why);
  return at;
}

}  // namespace halfarc
