#include "halfarc/app/blur_budget.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "halfarc/air/image_motion.h"
#include "halfarc/air/tube.h"
#include "halfarc/app/stack_runs.h"
#include "halfarc/app/target_light.h"
#include "halfarc/app/where_body.h"
#include "halfarc/budget/causes.h"
#include "halfarc/optics/exposure_choice.h"
#include "halfarc/optics/prism_colour.h"
#include "halfarc/optics/prism_trace.h"
#include "halfarc/restore/restore_image.h"
#include "halfarc/sky/field.h"
#include "halfarc/sky/refraction.h"

namespace halfarc {
namespace {

constexpr Angle kLowest = Angle::deg(5.0);
constexpr double kDetail = 0.05;                      // contrast of the detail asked for, before blur (common practice)
constexpr Angle kRegistration = Angle::arcsec(0.05);  // rms along an axis (common practice: a third of a pixel)

// All that the rows are worked out from.
struct Hour {
  const BudgetRequest& asked;
  const Whereabouts& where;
  TrainSolution train;
  PlateScale scale;
  double airmass = 1.0;
  Weather weather;
  std::array<SpectralCurve, 3> weights;  // how each colour counts in each plane
  Length wavelength;                     // of the green plane
  Measured<Length> r0;                   // at 500 nm along the line of sight
  std::optional<CorrectorPlace> place;
  Angle zenith;  // direction on the image; fringes and levers are taken along it
  ExposureChoice exposure;
};

Measured<Length> r0_along(const Measured<Angle>& seeing, double airmass) {
  const auto r0 = [&](Angle fwhm) { return r0_through(r0_of_seeing(fwhm, kSeeingWavelength), airmass); };
  const Length middle = r0(seeing.value);
  const Angle better = std::max(seeing.value - seeing.sigma, seeing.value / 3.0);
  return {middle, (r0(better) - r0(seeing.value + seeing.sigma)) / 2.0};
}

Result<Hour> hour_of(const BudgetRequest& request, const Whereabouts& where) {
  HALFARC_TRY(TrainSolution train, solve(request.rig));
  Hour hour{request, where, std::move(train), {}, 1.0, {}, {}, {}, {}, {}, {}, {}};
  hour.scale = plate_scale(request.rig, hour.train);
  hour.airmass = sky::airmass(where.refracted_altitude);
  hour.weather = where.asked.weather.value_or(sky::usual_weather(request.site.height));
  hour.weights = plane_weights(request.rig, request.target, hour.airmass, request.site.height);
  hour.wavelength = mean_wavelength(hour.weights[1]);
  hour.r0 = r0_along(request.state.seeing, hour.airmass);
  hour.place = corrector_place(hour.train);
  if (request.rig.corrector) hour.zenith = wrap_positive(request.rig.corrector->roll + Angle::deg(180.0));
  ExposureWish wish;
  wish.peak_over_mean = kPeakOverMean;
  wish.longest = longest_still_exposure(r0_of_seeing(request.state.seeing.value, kSeeingWavelength), hour.airmass,
                                        request.rig.telescope.aperture, request.state.wind);
  if (request.state.exposure) wish.longest = wish.shortest = *request.state.exposure;
  if (where.surface_magnitude) {
    hour.exposure = choose_exposure(request.rig.camera,
                                    target_electrons_per_s(request.rig, hour.train, request.target,
                                                           *where.surface_magnitude, hour.airmass, request.site.height),
                                    wish);
  } else {
    hour.exposure.exposure = wish.longest;
  }
  return hour;
}

Blur told(Blur blur, std::string because) {
  blur.because = std::move(because);
  return blur;
}

Blur air_row(const Hour& hour) {
  const TelescopeState& state = hour.asked.state;
  return told(air_blur(hour.train.pupil, hour.wavelength, hour.r0, state.kept),
              fmt::format("{:.1f} +- {:.1f}\" seeing at the zenith, airmass {:.2f}, the best {:.0f} % kept",
                          state.seeing.value.arcsec(), state.seeing.sigma.arcsec(), hour.airmass, 100.0 * state.kept));
}

Blur tube_row(const Hour& hour) {
  const auto& warm = hour.asked.state.mirror_over_air;
  const Measured<Angle> middle = mirror_seeing(warm.value);
  const Angle moved = mirror_seeing(warm.value + warm.sigma).value - middle.value;
  const Angle sigma = Angle::rad(std::hypot(middle.sigma.rad(), moved.rad()));
  return told(tube_heat_blur(hour.wavelength, {middle.value, sigma}),
              fmt::format("mirror {:.1f} +- {:.1f} K above the air", warm.value.kelvin(), warm.sigma.kelvin()));
}

// One named error of the wavefront, told in waves at the edge.
Blur edge_row(const Hour& hour, Cause cause, double Wavefront::*error, const Measured<double>& waves,
              const char* what) {
  Wavefront middle, sigma;
  middle.wavelength = sigma.wavelength = hour.wavelength;
  middle.*error = waves.value;
  sigma.*error = waves.sigma;
  return told(wavefront_blur(cause, hour.train.pupil, hour.wavelength, middle, sigma),
              fmt::format("{:.2f} +- {:.2f} waves of {} at the edge", waves.value, waves.sigma, what));
}

// The colour planes as air and corrector leave them, levers at `marks`; without a corrector by the air alone.
std::array<PlaneLeft, 3> planes_left(const Hour& hour, std::optional<double> marks) {
  const SpectralCurve air = lift_arcsec(hour.weather, hour.where.refracted_altitude);
  std::array<PlaneLeft, 3> left{};
  for (std::size_t c = 0; c < 3; ++c) {
    if (marks && hour.asked.rig.corrector && hour.place) {
      left[c] = plane_left(*hour.asked.rig.corrector, both_at(*marks), *hour.place, hour.zenith, air, hour.weights[c]);
    } else {
      left[c].along = spread_of(air, hour.weights[c]);
    }
  }
  return left;
}

std::optional<LeverSetting> setting_of(const Hour& hour) {
  if (!hour.asked.rig.corrector || !hour.place) return std::nullopt;
  return marks_for(*hour.asked.rig.corrector, *hour.place, lift_arcsec(hour.weather, hour.where.refracted_altitude),
                   hour.weights[0], hour.weights[2]);
}

void add_dispersion_rows(const Hour& hour, std::vector<Blur>& blurs) {
  const auto setting = setting_of(hour);
  const std::optional<double> marks = setting ? std::optional(setting->marks) : std::nullopt;
  const auto left = planes_left(hour, marks);
  const auto off = planes_left(hour, marks ? std::optional(*marks - hour.asked.state.lever_error_marks) : marks);
  const std::string how =
      setting ? fmt::format("levers at {:.1f} +- {:.2f} marks", *marks, hour.asked.state.lever_error_marks)
              : "no corrector";
  std::array<Measured<Angle>, 3> places;
  std::array<double, 3> weights{};
  for (std::size_t c = 0; c < 3; ++c) {
    places[c] = {left[c].along.centre - left[1].along.centre,
                 abs((off[c].along.centre - off[1].along.centre) - (left[c].along.centre - left[1].along.centre))};
    weights[c] = area_nm(hour.weights[c]);
  }
  Blur between = told(between_colours_blur(places, weights),
                      fmt::format("red to blue {:.2f}\", {}; the making of the image undoes it",
                                  (places[2].value - places[0].value).arcsec(), how));
  between.undone = true;
  blurs.push_back(std::move(between));
  const Angle width = left[1].along.width;
  blurs.push_back(told(inside_colour_blur({width, abs(off[1].along.width - width)}),
                       fmt::format("green drawn out by {:.3f}\" rms, {}", width.arcsec(), how)));
  if (!setting) return;
  const auto image = traced_image(*hour.asked.rig.corrector, both_at(*marks), *hour.place, hour.wavelength);
  if (!image) return;
  Wavefront errors = image->wavefront;
  errors.defocus = 0.0;  // focused with the corrector in place
  blurs.push_back(told(wavefront_blur(Cause::corrector, hour.train.pupil, hour.wavelength, errors),
                       fmt::format("{:.3f} waves rms at f/{:.0f}", image->rms_waves, hour.place->cone.focal_ratio)));
}

void add_motion_rows(const Hour& hour, std::vector<Blur>& blurs) {
  const TelescopeState& state = hour.asked.state;
  const Duration exposure = hour.exposure.exposure;
  const Angle wander = smearing_motion_rms({hour.r0.value}, hour.train.pupil.diameter, exposure, state.wind);
  const Angle worse = smearing_motion_rms({std::max(hour.r0.value - hour.r0.sigma, hour.r0.value / 3.0)},
                                          hour.train.pupil.diameter, exposure, state.wind);
  blurs.push_back(told(jitter_blur(Cause::exposure, {wander, worse - wander}),
                       fmt::format("{:.3g} ms under {:.0f} m/s aloft", exposure.ms(), state.wind.m_per_s())));
  const sky::Body body = hour.asked.target;
  const AngularRate spin = body == sky::Body::moon ? AngularRate() : spin_rate(body, systems_of(body).back());
  const sky::Disc& disc = hour.where.disc;
  const sky::Smear smear = sky::smear(body == sky::Body::moon ? Angle::arcmin(2.0) : disc.equatorial_diameter, spin,
                                      disc.sub_observer.planetocentric_latitude, hour.where.field_rotation);
  const std::string run = fmt::format("in {:.0f} s", state.run.s());
  const Angle turned = smear.centre * state.run;
  // The spin runs along the planet's equator, as seen with the zenith up.
  const Angle equator = disc.pole_angle - hour.where.parallactic;
  if (turned > Angle::arcsec(0.001))
    blurs.push_back(told(smear_blur(Cause::spin, {turned, {}}, equator),
                         fmt::format("{:.2f}\" at the middle of the disc {}", turned.arcsec(), run)));
  const Angle limb = smear.limb * state.run;
  blurs.push_back(told(smear_blur(Cause::field_rotation, {limb, {}}, Angle()),
                       fmt::format("{:.2f}\" at the limb {}", limb.arcsec(), run)));
  blurs.push_back(told(jitter_blur(Cause::registration, {kRegistration, kRegistration / 2.0}),
                       fmt::format("{:.2f}\" rms", kRegistration.arcsec())));
}

// Noise comes last: it is counted against what all the others let through.
void add_noise_row(const Hour& hour, std::vector<Blur>& blurs) {
  if (!hour.where.surface_magnitude) return;
  const auto rate = target_electrons_per_s(hour.asked.rig, hour.train, hour.asked.target, *hour.where.surface_magnitude,
                                           hour.airmass, hour.asked.site.height);
  const double electrons = 0.5 * rate[1] * hour.exposure.exposure.s();  // every second site of a mosaic is green
  const double frames = hour.exposure.frames.per_s * hour.asked.state.run.s() * hour.asked.state.kept;
  const double contrast = budget_of(blurs).half_arc_contrast.value;
  const double ratio = detail_signal_to_noise(kDetail, contrast, electrons, hour.asked.rig.camera.read_noise_e, frames,
                                              hour.scale.angle(1.0));
  blurs.push_back(told(noise_blur({ratio, 0.2 * ratio}),
                       fmt::format("{:.0f} frames; detail of {:.0f} % stands {:.0f} times above the noise", frames,
                                   100.0 * kDetail, ratio)));
}

std::vector<Blur> predicted_rows(const Hour& hour) {
  const Pupil& pupil = hour.train.pupil;
  const Angle pixel = hour.scale.angle(1.0);
  std::vector<Blur> blurs;
  blurs.push_back(told(diffraction_blur(pupil, hour.wavelength),
                       fmt::format("{:.0f} mm, obstruction {:.2f}, {:.0f} nm", pupil.diameter.mm(), pupil.obstruction,
                                   hour.wavelength.nm())));
  blurs.push_back(told(pixel_blur(pixel), fmt::format("{:.3f}\" a pixel", pixel.arcsec())));
  blurs.push_back(air_row(hour));
  blurs.push_back(tube_row(hour));
  const TelescopeState& state = hour.asked.state;
  blurs.push_back(edge_row(hour, Cause::collimation, &Wavefront::coma_x, state.coma_waves, "coma"));
  blurs.push_back(edge_row(hour, Cause::focus, &Wavefront::defocus, state.defocus_waves, "defocus"));
  add_dispersion_rows(hour, blurs);
  add_motion_rows(hour, blurs);
  return blurs;
}

Blur* row_of(std::vector<Blur>& blurs, Cause cause) {
  const auto at = std::find_if(blurs.begin(), blurs.end(), [&](const Blur& b) { return b.cause == cause; });
  return at == blurs.end() ? nullptr : &*at;
}

// What the frames say of the air (with whatever else disturbs them from frame to frame), and of the fringes.
Result<std::vector<Blur>> measured_rows(const Hour& hour, std::vector<Blur> blurs, std::vector<std::string>& notes,
                                        Progress& progress) {
  HALFARC_TRY(const StackedRuns stacked, stack_runs(hour.asked.runs, 0.0, hour.asked.threads, progress));
  const Aperture aperture{hour.train.pupil, hour.scale};
  const RestoredImage image = restore_image(stacked.stack, {aperture, 1.0, hour.asked.threads});
  if (progress.stop_requested()) return cancelled();
  if (image.blur.measured) {
    // As it acts in the kept, aligned frames: nothing more is gained by selection.
    const Length r0 =
        r0_at({hour.train.pupil.diameter / image.blur.d_over_r0.value, image.blur.wavelength}, kSeeingWavelength);
    const double relative = image.blur.d_over_r0.sigma / image.blur.d_over_r0.value;
    Blur air = told(
        air_blur(hour.train.pupil, hour.wavelength, {r0, r0 * relative}, 1.0),
        fmt::format("D/r0 {:.2f} +- {:.2f} at {:.0f} nm in the {} frames kept of {}", image.blur.d_over_r0.value,
                    image.blur.d_over_r0.sigma, image.blur.wavelength.nm(), stacked.frames_used, stacked.frames_read));
    air.measured = true;
    *row_of(blurs, Cause::air) = std::move(air);
    const Angle shift = hour.scale.angle(image.blur.local_shift.value);
    Blur registration =
        told(jitter_blur(Cause::registration, {shift, hour.scale.angle(image.blur.local_shift.sigma)}),
             fmt::format("parts of the picture move by {:.2f}\" rms against each other", shift.arcsec()));
    registration.measured = true;
    *row_of(blurs, Cause::registration) = std::move(registration);
  } else {
    notes.push_back("the frames did not say how much the air blurred them");
  }
  if (image.colour_offset[0].found && image.colour_offset[2].found) {
    std::array<Measured<Angle>, 3> places;
    for (const std::size_t c : {std::size_t{0}, std::size_t{2}}) {
      const ColourOffset& o = image.colour_offset[c];
      const double sign = c == 0 ? -1.0 : 1.0;  // blue above red, whichever way the camera is turned
      places[c] = {hour.scale.angle(sign * o.offset.length()),
                   hour.scale.angle(std::hypot(o.sigma.x, o.sigma.y) / std::sqrt(2.0))};
    }
    Blur between = told(
        between_colours_blur(places, {area_nm(hour.weights[0]), area_nm(hour.weights[1]), area_nm(hour.weights[2])}),
        fmt::format("red {:.2f}\" and blue {:.2f}\" from green; the making of the image undoes it",
                    abs(places[0].value).arcsec(), places[2].value.arcsec()));
    between.measured = true;
    between.undone = true;
    *row_of(blurs, Cause::dispersion_between) = std::move(between);
  }
  if (stacked.span) {
    const Duration longest = *stacked.span;
    if (std::abs(longest / hour.asked.state.run - 1.0) > 0.2)
      notes.push_back(
          fmt::format("the recording spans {:.0f} s; give --run {:.0f} for its own smear", longest.s(), longest.s()));
  }
  return blurs;
}

}  // namespace

Result<BlurBudget> blur_budget(const BudgetRequest& request, Progress& progress) {
  if (request.target == sky::Body::sun)
    return Error{ErrorKind::refused, "halfarc is not a solar tool", {}, "name the Moon or a planet"};
  WhereRequest asked;
  asked.body = request.target;
  asked.site = request.site;
  asked.site_name = request.site_name;
  asked.utc = request.utc;
  asked.sun_rule = request.sun_rule;
  HALFARC_TRY(const Whereabouts where, where_body(asked));
  if (where.refracted_altitude < kLowest) {
    return bad_input(fmt::format("stands at {:.0f} deg, too low to record", where.refracted_altitude.deg()),
                     std::string(name_of(request.target)) + " at " + request.utc.iso(0),
                     "give another time with --at; halfarc plan says when it is up");
  }
  HALFARC_TRY(const Hour hour, hour_of(request, where));
  BlurBudget result;
  result.asked = request;
  result.altitude = where.refracted_altitude;
  result.wavelength = hour.wavelength;
  result.exposure = hour.exposure.exposure;
  std::vector<Blur> blurs = predicted_rows(hour);
  std::vector<Blur> with_noise = blurs;
  add_noise_row(hour, with_noise);
  result.predicted = budget_of(std::move(with_noise));
  if (!request.runs.empty()) {
    HALFARC_TRY(std::vector<Blur> measured, measured_rows(hour, std::move(blurs), result.notes, progress));
    add_noise_row(hour, measured);
    result.measured = budget_of(std::move(measured));
  }
  return result;
}

}  // namespace halfarc
