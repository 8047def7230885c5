#include "halfarc/simulate/exposure.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "halfarc/simulate/patchwork.h"
#include "halfarc/simulate/scene_path.h"

namespace halfarc {
namespace {

Duration start_of(const Timing& timing, std::size_t exposure) {
  return timing.interval * static_cast<double>(exposure);
}

// No prime factor above 7: quick to transform.
bool quick(int n) {
  for (const int prime : {2, 3, 5, 7}) {
    while (n % prime == 0) n /= prime;
  }
  return n == 1;
}

// How far the air throws light: a few times the width of a star, in the worst spells too.
Angle blur(const ShotSpec& shot) {
  if (shot.air.layers.empty()) return Angle::arcsec(2.0);
  const Turbulence kolmogorov{shot.air.turbulence.r0, shot.air.turbulence.wavelength};
  const double worst = std::exp(2.0 * shot.air.spells.spread);
  return seeing_fwhm(kolmogorov, shot.instrument.wavelengths[2]) * (4.0 * worst);
}

// The instrument with the largest errors that it has in this shot.
Instrument at_its_worst(const ShotSpec& shot) {
  Instrument worst = shot.instrument;
  const OpticsError change = largest_change(shot.optics_change, length_of(shot.timing));
  const double plume_edge_waves = 6.0 * shot.plume.rms_waves;  // a smooth hump rises by so much, wandering included
  worst.defocus_waves = std::abs(worst.defocus_waves) + change.defocus_waves + plume_edge_waves;
  worst.coma_x_waves = std::abs(worst.coma_x_waves) + change.coma_x_waves;
  worst.coma_y_waves = std::abs(worst.coma_y_waves) + change.coma_y_waves;
  return worst;
}

// How far the mount may take the image along each axis, beside the drift.
SkyOffset wander(const ShotSpec& shot) {
  const Pointing& p = shot.pointing;
  SkyOffset sum{p.jitter * 4.0, p.jitter * 4.0};
  const auto add = [&](const SkyOffset& o, double times) {
    sum.x += abs(o.x) * times;
    sum.y += abs(o.y) * times;
  };
  add(p.periodic.amplitude, 2.0);
  add(p.wind.rms, 4.0);
  for (const KeyPress& press : p.keys) add(press.by, 1.0);
  for (const Nudge& nudge : p.nudges) add(nudge.peak, 1.0);
  for (const OpticsMove& move : shot.optics_change.moves) add(move.image, 1.0);
  return sum;
}

// Pixels to add on both sides of an axis of `size` pixels, so that light leaving the frame does not come in again on
// the other side of the periodic grid, and so that a point's whole spread fits in. `body` is how far from the middle of
// the frame its picture reaches; `moves` how far that may go.
int margin(const ShotSpec& shot, int size, Angle body, Angle moves) {
  const Angle halo = spread_reach(at_its_worst(shot), Angle::rad(0.0));
  const double edge = shot.scale.pixels(body + moves + halo);
  const double spread = shot.scale.pixels(spread_reach(at_its_worst(shot), blur(shot))) * 2.0;
  const bool fills = shot.body.kind == BodyKind::cratered;
  const double beyond = fills ? spread + 2.0 * shot.scale.pixels(moves) : std::max(edge - 0.5 * size, spread - size);
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

// How far from the middle of the frame the body's picture reaches along each axis, while the field turns.
SkyOffset extent(const ShotSpec& shot) {
  SkyOffset farthest;
  for (const double part : {0.0, 0.25, 0.5, 0.75, 1.0}) {
    const SkyOffset centre = body_at(shot.body, shot.pointing, length_of(shot.timing) * part).centre;
    farthest.x = std::max(farthest.x, abs(centre.x));
    farthest.y = std::max(farthest.y, abs(centre.y));
  }
  return {farthest.x + reach(shot.body), farthest.y + reach(shot.body)};
}

// Everything that is the same for all frames, and the making of one frame.
class Studio {
 public:
  Studio(const ShotSpec& shot, Threads threads)
      : shot_(shot),
        threads_(threads),
        rng_(Rng(shot.seed).child("recording")),
        exposures_(exposures_kept(shot.timing.clock, shot.timing.frames, rng_.child("clock"))),
        length_(start_of(shot.timing, exposures_.back() + 1) + shot.timing.exposure),
        margin_x_(margin(shot, shot.width, extent(shot).x, moves(shot, length_).x)),
        margin_y_(margin(shot, shot.height, extent(shot).y, moves(shot, length_).y)),
        scene_lasts_(scene_lasts(shot.body, shot.pointing, shot.scale, 0.5 * std::hypot(shot.width, shot.height))),
        scene_(drawn(length_ * 0.5)),
        train_(shot.instrument, scene_, spread(shot), halo(shot)),
        air_(shot.air, shot.instrument.pupil, length_, rng_.child("air"), threads),
        path_(shot.pointing, rng_.child("pointing")),
        plume_(shot.plume, green(), rng_.child("plume")),
        blemishes_(shot.blemishes, shot.width, shot.height, rng_.child("blemishes")),
        read_out_(shot.sensor) {
    if (shot.air.patch.rad() > 0.0) patches_.emplace(shot.instrument, scene_, shot.air.patch, spread(shot), halo(shot));
  }

  ShotTruth truth() const {
    ShotTruth truth;
    truth.perfect = cropped(train_.perfect_image(), margin_x_, margin_y_, shot_.width, shot_.height);
    truth.scene = cropped(pixel_means(scene_), margin_x_, margin_y_, shot_.width, shot_.height);
    truth.unrepeated = air_.unrepeated();
    return truth;
  }

  // How many of the frames from `first` on see the scene as it is then.
  std::size_t frames_of_one_scene(std::size_t first) const {
    std::size_t last = first;
    while (last < exposures_.size() && scene_number(last) == scene_number(first)) ++last;
    return last - first;
  }

  // Sets the stage for these frames.
  void show_scene_of(std::size_t frame) {
    if (!std::isfinite(scene_lasts_.s())) return;
    scene_ = drawn(scene_lasts_ * (scene_number(frame) + 0.5));
    if (patches_) {
      patches_->show(scene_);
    } else {
      train_.show(scene_);
    }
  }

  // Room for one frame in the making.
  struct Desk {
    std::shared_ptr<LightTrain::Work> work;
    std::shared_ptr<Patchwork::Work> patch_work;
    std::array<Plane<float>, 3> light;
    Plane<std::uint16_t> samples;
    FrameTruth truth;
  };
  Desk desk() const {
    Desk desk;
    if (patches_) {
      desk.patch_work = patches_->make_work();
    } else {
      desk.work = train_.make_work();
    }
    for (auto& plane : desk.light) plane = Plane<float>(train_.width(), train_.height());
    desk.samples = Plane<std::uint16_t>(shot_.width * samples_per_pixel(shot_.sensor.mosaic), shot_.height);
    return desk;
  }

  void make(std::size_t frame, Desk& desk) const {
    const Rng rng = rng_.child("frame", frame);
    Exposure exposure;
    exposure.middle = middle_of(frame);
    exposure.length = shot_.timing.exposure;
    exposure.parts = shot_.timing.parts;
    exposure.veil = veil_at(shot_.dew, exposure.middle);
    desk.truth = {};
    desk.truth.middle = exposure.middle;
    desk.truth.veil = exposure.veil;
    desk.truth.r0_factor = air_.r0_factor(exposure.middle);
    desk.truth.field_turn = field_turn_at(shot_.pointing, exposure.middle);
    const SkyOffset pointing = add_motion(exposure, rng.child("jitter"), desk.truth);
    for (std::size_t c = 0; c < 3; ++c) {
      exposure.shift[c] = {pointing.x + shot_.dispersion[c].x, pointing.y + shot_.dispersion[c].y};
      exposure.rows[c] = rows_with(static_cast<Colour>(c));
    }
    desk.truth.pointing_px = {shot_.scale.pixels(pointing.x), shot_.scale.pixels(pointing.y)};
    desk.truth.air = patches_ ? patches_->expose(air_, exposure, *desk.patch_work, desk.light)
                              : train_.expose(air_, exposure, *desk.work, desk.light);

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
      if (rows.step > 0) blemishes_.mark(desk.light[c].view().part(margin_x_, margin_y_, shot_.width, shot_.height));
      seen[c] = std::as_const(desk.light[c]).view().part(margin_x_, margin_y_, shot_.width, shot_.height);
    }
    read_out_.frame(seen, rng.child("sensor"), desk.samples);
  }

  // Of the exposure, by a perfect clock, and as the computer writes it.
  Duration middle_of(std::size_t frame) const {
    return start_of(shot_.timing, exposures_[frame]) + shot_.timing.exposure * 0.5;
  }
  Duration written_middle_of(std::size_t frame) const {
    return middle_of(frame) +
           clock_error(shot_.timing.clock, shot_.timing.interval, rng_.child("frame", frame).child("clock"));
  }

 private:
  Length green() const { return shot_.instrument.wavelengths[1]; }

  // How far the image may go from where it stands at the start, dispersion included.
  static SkyOffset moves(const ShotSpec& shot, Duration length) {
    const SkyOffset drift = shot.pointing.drift_per_second;
    const SkyOffset spread = widest(shot.dispersion);
    const SkyOffset mount = wander(shot);
    return {abs(drift.x) * length.s() + mount.x + spread.x, abs(drift.y) * length.s() + mount.y + spread.y};
  }

  // The blur that makes the train's grid of the point spread large enough for the worst moment.
  static Angle spread(const ShotSpec& shot) {
    return blur(shot) + spread_reach(at_its_worst(shot), Angle()) - spread_reach(shot.instrument, Angle());
  }

  static Angle halo(const ShotSpec& shot) { return shot.dew.none() ? Angle() : shot.dew.halo; }

  double scene_number(std::size_t frame) const { return std::floor(middle_of(frame) / scene_lasts_); }

  Scene drawn(Duration at) const {
    const SceneFrame frame{shot_.width + 2 * margin_x_, shot_.height + 2 * margin_y_, shot_.scale};
    return draw_scene(body_at(shot_.body, shot_.pointing, at), frame, oversample_for(shot_.instrument, shot_.scale),
                      threads_);
  }

  // The rows of the train's image on which the sensor has sites of a colour.
  RowChoice rows_with(Colour colour) const {
    const Mosaic mosaic = shot_.sensor.mosaic;
    if (mosaic == Mosaic::mono) return {0, colour == Colour::green ? 1 : 0};
    if (!is_bayer(mosaic) || colour == Colour::green) return {};
    const int parity = colour == Colour::red ? red_y(mosaic) : 1 - red_y(mosaic);
    return {(margin_y_ + parity) % 2, 2};
  }

  // Where the image lies in the mean of the exposure. What moves or changes within it goes into exposure.errors, one a
  // part, when there is anything of the kind.
  SkyOffset add_motion(Exposure& exposure, Rng jitter, FrameTruth& truth) const {
    const Pointing& mount = shot_.pointing;
    const double t = exposure.middle.s();
    SkyOffset pointing{mount.drift_per_second.x * t + mount.jitter * jitter.normal(),
                       mount.drift_per_second.y * t + mount.jitter * jitter.normal()};
    const Instrument& own = shot_.instrument;
    const OpticsError change = optics_change_at(shot_.optics_change, exposure.middle);
    truth.optics = {own.defocus_waves + change.defocus_waves, own.coma_x_waves + change.coma_x_waves,
                    own.coma_y_waves + change.coma_y_waves};
    if (path_.still() && shot_.optics_change.none() && plume_.none()) return pointing;

    std::vector<SkyOffset> places;
    SkyOffset mean;
    for (int part = 0; part < exposure.parts; ++part) {
      const Duration at = moment(exposure, part);
      const SkyOffset mirror = mirror_shift_at(shot_.optics_change, at);
      const SkyOffset place{path_.at(at).x + mirror.x, path_.at(at).y + mirror.y};
      places.push_back(place);
      mean.x += place.x / exposure.parts;
      mean.y += place.y / exposure.parts;
    }
    for (int part = 0; part < exposure.parts; ++part) {
      const Duration at = moment(exposure, part);
      const SkyOffset& place = places[static_cast<std::size_t>(part)];
      const LowOrders motion = tilt_of({place.x - mean.x, place.y - mean.y}, own.pupil.diameter);
      const LowOrders plume = plume_.at(at);
      exposure.errors.push_back(motion + plume + wavefront_of(optics_change_at(shot_.optics_change, at), green()));
      truth.plume_rms_waves += rms_without_tilt(plume) / green() / exposure.parts;
    }
    return {pointing.x + mean.x, pointing.y + mean.y};
  }

  ShotSpec shot_;
  Threads threads_;
  Rng rng_;
  std::vector<std::size_t> exposures_;
  Duration length_;
  int margin_x_;
  int margin_y_;
  Duration scene_lasts_;
  Scene scene_;
  LightTrain train_;
  std::optional<Patchwork> patches_;  // when the air differs across the field
  Atmosphere air_;
  PointingPath path_;
  Plume plume_;
  Blemishes blemishes_;
  ReadOut read_out_;
};

}  // namespace

Result<ShotTruth> simulate_recording(const ShotSpec& shot, Threads threads, Progress& progress, const FrameSink& sink) {
  HALFARC_CHECK(check(shot));
  Studio studio(shot, threads);
  ShotTruth truth = studio.truth();

  // A desk a thread: more would only push each other out of the cache.
  const std::size_t batch = std::min(shot.timing.frames, static_cast<std::size_t>(thread_count(threads)));
  std::vector<Studio::Desk> desks;
  for (std::size_t i = 0; i < batch; ++i) desks.push_back(studio.desk());
  std::size_t first = 0;
  while (first < shot.timing.frames) {
    studio.show_scene_of(first);
    const std::size_t end = first + studio.frames_of_one_scene(first);
    while (first < end) {
      if (progress.stop_requested()) return cancelled();
      const std::size_t count = std::min(batch, end - first);
      parallel_for(count, threads, [&](std::size_t i) { studio.make(first + i, desks[i]); });
      for (std::size_t i = 0; i < count; ++i) {
        truth.frames.push_back(desks[i].truth);
        HALFARC_CHECK(sink({first + i, shot.timing.start + studio.written_middle_of(first + i),
                            std::as_const(desks[i].samples).view(), desks[i].truth}));
      }
      first += count;
      progress.report("simulate", first, shot.timing.frames);
    }
  }
  return truth;
}

}  // namespace halfarc
