#include "halfarc/simulate/exposure.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace halfarc {
namespace {

Duration start_of(const Timing& timing, std::size_t frame) { return timing.interval * static_cast<double>(frame); }

Duration whole_length(const Timing& timing) { return start_of(timing, timing.frames) + timing.exposure; }

// No prime factor above 7: quick to transform.
bool quick(int n) {
  for (const int prime : {2, 3, 5, 7}) {
    while (n % prime == 0) n /= prime;
  }
  return n == 1;
}

// How far the air throws light: a few times the width of a star.
Angle blur(const ShotSpec& shot) {
  if (shot.air.layers.empty()) return Angle::arcsec(2.0);
  const Turbulence kolmogorov{shot.air.turbulence.r0, shot.air.turbulence.wavelength};
  return seeing_fwhm(kolmogorov, shot.instrument.wavelengths[2]) * 4.0;
}

// Pixels to add on both sides of an axis of `size` pixels, so that light leaving the frame does not come in again on
// the other side of the periodic grid, and so that a point's whole spread fits in.
int margin(const ShotSpec& shot, int size, Angle offset, Angle drift_per_second, Angle dispersion) {
  const Angle wander = abs(drift_per_second) * whole_length(shot.timing).s() + shot.pointing.jitter * 4.0;
  const Angle halo = spread_reach(shot.instrument, Angle::rad(0.0));
  const double edge = shot.scale.pixels(reach(shot.body) + abs(offset) + abs(dispersion) + wander + halo);
  const double spread = shot.scale.pixels(spread_reach(shot.instrument, blur(shot))) * 2.0;
  const double beyond = std::max(edge - 0.5 * size, spread - size);
  if (beyond <= 0.0) return 0;
  int margin = static_cast<int>(std::ceil(0.5 * beyond));
  while (!quick(size + 2 * margin) && margin < size) ++margin;
  return margin;
}

SkyOffset widest(const std::array<SkyOffset, 3>& offsets) {
  SkyOffset widest;
  for (const SkyOffset& o : offsets) {
    widest.x = std::max(widest.x, abs(o.x));
    widest.y = std::max(widest.y, abs(o.y));
  }
  return widest;
}

std::array<Plane<float>, 3> cropped(const std::array<Plane<float>, 3>& planes, int x, int y, int width, int height) {
  std::array<Plane<float>, 3> result;
  for (std::size_t c = 0; c < 3; ++c) {
    result[c] = Plane<float>(width, height);
    for (int row = 0; row < height; ++row) std::copy_n(planes[c].row(y + row) + x, width, result[c].row(row));
  }
  return result;
}

// Everything that is the same for all frames, and the making of one frame.
class Studio {
 public:
  Studio(const ShotSpec& shot, Threads threads)
      : shot_(shot),
        rng_(Rng(shot.seed).child("recording")),
        margin_x_(
            margin(shot, shot.width, shot.body.centre.x, shot.pointing.drift_per_second.x, widest(shot.dispersion).x)),
        margin_y_(
            margin(shot, shot.height, shot.body.centre.y, shot.pointing.drift_per_second.y, widest(shot.dispersion).y)),
        scene_(draw_scene(shot.body, {shot.width + 2 * margin_x_, shot.height + 2 * margin_y_, shot.scale},
                          oversample_for(shot.instrument, shot.scale), threads)),
        train_(shot.instrument, scene_, blur(shot)),
        air_(shot.air, shot.instrument.pupil, whole_length(shot.timing), rng_.child("air"), threads) {}

  ShotTruth truth() const {
    ShotTruth truth;
    truth.perfect = cropped(train_.perfect_image(), margin_x_, margin_y_, shot_.width, shot_.height);
    truth.scene = cropped(pixel_means(scene_), margin_x_, margin_y_, shot_.width, shot_.height);
    truth.unrepeated = air_.unrepeated();
    return truth;
  }

  // Room for one frame in the making.
  struct Desk {
    std::shared_ptr<LightTrain::Work> work;
    std::array<Plane<float>, 3> light;
    Plane<std::uint16_t> samples;
    FrameTruth truth;
  };
  Desk desk() const {
    Desk desk;
    desk.work = train_.make_work();
    for (auto& plane : desk.light) plane = Plane<float>(train_.width(), train_.height());
    desk.samples = Plane<std::uint16_t>(shot_.width * samples_per_pixel(shot_.sensor.mosaic), shot_.height);
    return desk;
  }

  void make(std::size_t frame, Desk& desk) const {
    const Rng rng = rng_.child("frame", frame);
    Exposure exposure;
    exposure.middle = start_of(shot_.timing, frame) + shot_.timing.exposure * 0.5;
    exposure.length = shot_.timing.exposure;
    exposure.parts = shot_.timing.parts;
    const SkyOffset pointing = pointing_at(exposure.middle, rng.child("jitter"));
    for (std::size_t c = 0; c < 3; ++c) {
      exposure.shift[c] = {pointing.x + shot_.dispersion[c].x, pointing.y + shot_.dispersion[c].y};
    }
    for (std::size_t c = 0; c < 3; ++c) exposure.rows[c] = rows_with(static_cast<Colour>(c));
    desk.truth.pointing_px = {shot_.scale.pixels(pointing.x), shot_.scale.pixels(pointing.y)};
    desk.truth.air = train_.expose(air_, exposure, *desk.work, desk.light);

    std::array<View<const float>, 3> seen;
    for (std::size_t c = 0; c < 3; ++c) {
      const auto gain = static_cast<float>(shot_.brightness.electrons[c]);
      const auto sky = static_cast<float>(shot_.brightness.sky_electrons);
      const RowChoice rows = exposure.rows[c];
      for (int y = rows.first; rows.step > 0 && y < margin_y_ + shot_.height; y += rows.step) {
        if (y < margin_y_) continue;
        float* row = desk.light[c].row(y) + margin_x_;
        for (int x = 0; x < shot_.width; ++x) row[x] = row[x] * gain + sky;
      }
      seen[c] = std::as_const(desk.light[c]).view().part(margin_x_, margin_y_, shot_.width, shot_.height);
    }
    read_out(shot_.sensor, noise_, seen, rng.child("sensor"), desk.samples);
  }

 private:
  // The rows of the train's image on which the sensor has sites of a colour.
  RowChoice rows_with(Colour colour) const {
    const Mosaic mosaic = shot_.sensor.mosaic;
    if (mosaic == Mosaic::mono) return {0, colour == Colour::green ? 1 : 0};
    if (!is_bayer(mosaic) || colour == Colour::green) return {};
    const int parity = colour == Colour::red ? red_y(mosaic) : 1 - red_y(mosaic);
    return {(margin_y_ + parity) % 2, 2};
  }

  SkyOffset pointing_at(Duration at, Rng rng) const {
    const double t = at.s();
    const Angle jitter = shot_.pointing.jitter;
    return {shot_.pointing.drift_per_second.x * t + jitter * rng.normal(),
            shot_.pointing.drift_per_second.y * t + jitter * rng.normal()};
  }

  ShotSpec shot_;
  Rng rng_;
  int margin_x_;
  int margin_y_;
  Scene scene_;
  LightTrain train_;
  Atmosphere air_;
  PhotonNoise noise_;
};

Error wrong(std::string what, std::string key) { return bad_input(std::move(what), std::move(key)); }

}  // namespace

Result<void> check(const ShotSpec& shot) {
  const auto positive = [](double v) { return v > 0.0 && std::isfinite(v); };
  if (shot.width < 16 || shot.width > 8192) return wrong("must be 16 to 8192 pixels", "camera.width");
  if (shot.height < 16 || shot.height > 8192) return wrong("must be 16 to 8192 pixels", "camera.height");
  if (shot.sensor.bits < 8 || shot.sensor.bits > 16) return wrong("must be 8 to 16", "camera.bits");
  if (!positive(shot.sensor.electrons_per_adu)) return wrong("must be above 0", "camera.electrons_per_adu");
  if (!(shot.sensor.read_noise_e >= 0.0)) return wrong("must not be negative", "camera.read_noise_e");
  if (!(shot.sensor.offset_adu >= 0.0)) return wrong("must not be negative", "camera.offset_adu");
  if (!positive(shot.sensor.full_well_e)) return wrong("must be above 0", "camera.full_well_e");
  const double arcsec = shot.scale.arcsec_per_px();
  if (!(arcsec > 0.01 && arcsec < 2.0)) {
    return {bad_input("the scale comes out as " + std::to_string(arcsec) +
                          " arcseconds per pixel; 0.01 to 2 can be "
                          "simulated",
                      "telescope.focal_length_mm, telescope.amplifier, camera.pixel_um")};
  }
  const Pupil& pupil = shot.instrument.pupil;
  if (!(pupil.diameter.mm() >= 20.0 && pupil.diameter.mm() <= 2000.0)) {
    return wrong("must be 20 to 2000 mm", "telescope.diameter_mm");
  }
  if (!(pupil.obstruction >= 0.0 && pupil.obstruction <= 0.8)) {
    return wrong("must be 0 to 0.8 of the diameter", "telescope.obstruction");
  }
  if (critical_pitch(pupil, shot.instrument.wavelengths[2]) * 4.0 < shot.scale.angle(1.0)) {
    return wrong("the pixels are more than 4 times coarser than the finest detail",
                 "telescope.focal_length_mm, camera.pixel_um");
  }
  const auto& defocus = shot.instrument;
  if (!(std::abs(defocus.defocus_waves) <= 40.0)) return wrong("must be -40 to 40 waves", "telescope.defocus_waves");
  if (!(std::hypot(defocus.coma_x_waves, defocus.coma_y_waves) <= 10.0)) {
    return wrong("must be at most 10 waves long", "telescope.coma_waves");
  }
  for (const Length w : shot.instrument.wavelengths) {
    if (!(w.nm() >= 300.0 && w.nm() <= 1100.0)) return wrong("must be 300 to 1100 nm", "camera.wavelengths_nm");
  }
  if (shot.body.kind != BodyKind::star) {
    if (!positive(shot.body.equatorial_diameter.arcsec())) return wrong("must be above 0", "body.diameter_arcsec");
    if (shot.scale.pixels(reach(shot.body)) > 4096.0) return wrong("too large for the scale", "body.diameter_arcsec");
  }
  if (!(shot.body.flattening >= 0.0 && shot.body.flattening < 0.5)) return wrong("must be 0 to 0.5", "body.flattening");
  const BodySpec& body = shot.body;
  for (const auto& [angle, key] :
       {std::pair{body.pole_angle, "body.pole_angle_deg"}, std::pair{body.sub_observer_latitude, "body.latitude_deg"},
        std::pair{body.central_meridian, "body.longitude_deg"}, std::pair{body.phase_angle, "body.phase_angle_deg"},
        std::pair{body.sun_angle, "body.sun_angle_deg"}}) {
    if (!(std::abs(angle.deg()) <= 720.0)) return wrong("must be an angle in degrees", key);
  }
  // What moves the picture may move it out of the frame, but not out of the world.
  const double longest_px = 2048.0;
  const auto moves = [&](const SkyOffset& o, double times) {
    return shot.scale.pixels(abs(o.x)) * times <= longest_px && shot.scale.pixels(abs(o.y)) * times <= longest_px;
  };
  if (!moves(body.centre, 1.0)) return wrong("is more than 2048 pixels", "body.centre_arcsec");
  for (const SkyOffset& o : shot.dispersion) {
    if (!moves(o, 1.0)) return wrong("is more than 2048 pixels", "dispersion");
  }
  if (!(shot.pointing.jitter.rad() >= 0.0 && moves({shot.pointing.jitter, Angle::rad(0.0)}, 1.0))) {
    return wrong("must be 0 to 2048 pixels", "pointing.jitter_arcsec");
  }
  if (!positive(shot.air.turbulence.r0.m())) return wrong("must be above 0", "air.r0_cm");
  if (!(shot.air.turbulence.outer_scale.m() > 0.0)) return wrong("must be above 0", "air.outer_scale_m");
  for (const Layer& layer : shot.air.layers) {
    if (!positive(layer.weight)) return wrong("must be above 0", "air.layer.weight");
    if (!(std::abs(layer.wind.m_per_s()) <= 150.0)) return wrong("must be -150 to 150", "air.layer.wind_m_per_s");
    if (!(std::abs(layer.direction.deg()) <= 720.0)) return wrong("must be in degrees", "air.layer.direction_deg");
    if (!(layer.height.km() >= 0.0 && layer.height.km() <= 100.0)) {
      return wrong("must be 0 to 100000", "air.layer.height_m");
    }
  }
  if (shot.timing.frames < 1) return wrong("must be at least 1", "timing.frames");
  if (!positive(shot.timing.interval.s())) return wrong("must be above 0", "timing.frames_per_s");
  if (!positive(shot.timing.exposure.s())) return wrong("must be above 0", "timing.exposure_ms");
  if (shot.timing.exposure > shot.timing.interval) {
    return wrong("is longer than the time from frame to frame", "timing.exposure_ms");
  }
  if (shot.timing.parts < 1 || shot.timing.parts > 64) return wrong("must be 1 to 64", "timing.parts");
  if (!moves(shot.pointing.drift_per_second, whole_length(shot.timing).s())) {
    return wrong("moves the picture by more than 2048 pixels in the whole recording", "pointing.drift_arcsec_per_s");
  }
  for (const double e : shot.brightness.electrons) {
    if (!(e >= 0.0 && e < 1e7)) return wrong("must be 0 to 1e7", "light.electrons");
  }
  if (!(shot.brightness.sky_electrons >= 0.0)) return wrong("must not be negative", "light.sky_electrons");
  return {};
}

Result<ShotTruth> simulate_recording(const ShotSpec& shot, Threads threads, Progress& progress, const FrameSink& sink) {
  HALFARC_CHECK(check(shot));
  const Studio studio(shot, threads);
  ShotTruth truth = studio.truth();

  const std::size_t batch = std::min(shot.timing.frames, static_cast<std::size_t>(4 * thread_count(threads)));
  std::vector<Studio::Desk> desks;
  for (std::size_t i = 0; i < batch; ++i) desks.push_back(studio.desk());
  for (std::size_t first = 0; first < shot.timing.frames; first += batch) {
    if (progress.stop_requested()) return cancelled();
    const std::size_t count = std::min(batch, shot.timing.frames - first);
    parallel_for(count, threads, [&](std::size_t i) { studio.make(first + i, desks[i]); });
    for (std::size_t i = 0; i < count; ++i) {
      const Duration middle = start_of(shot.timing, first + i) + shot.timing.exposure * 0.5;
      truth.frames.push_back(desks[i].truth);
      HALFARC_CHECK(
          sink({first + i, shot.timing.start + middle, std::as_const(desks[i].samples).view(), desks[i].truth}));
    }
    progress.report("simulate", first + count, shot.timing.frames);
  }
  return truth;
}

}  // namespace halfarc
