#include "halfarc/app/check_clip.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "halfarc/app/clip_colours.h"
#include "halfarc/app/target_named.h"
#include "halfarc/frames/stream.h"
#include "halfarc/measure/aligned_mean.h"
#include "halfarc/measure/index.h"
#include "halfarc/measure/speckles.h"

namespace halfarc {
namespace {

constexpr double kWidestPoint = 15.0;       // pixels; a wider blob without a hole may be anything out of focus
constexpr double kGlow = 0.55;              // of the diameter, from the centre: no moon is looked for nearer
constexpr double kLit = 0.1;                // of full scale: black levels are lower (common practice)
constexpr double kLeaving = 0.01;           // of the border lit
constexpr std::size_t kMostAveraged = 400;  // frames; more would sharpen no reading of a clip

PixelPoint median_place(const RecordingIndex& index) {
  std::vector<double> x, y;
  for (const FrameIndex& f : index.frames) {
    if (!f.found) continue;
    x.push_back(f.centroid.x);
    y.push_back(f.centroid.y);
  }
  const auto middle = [](std::vector<double>& v) {
    const auto at = v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2);
    std::nth_element(v.begin(), at, v.end());
    return *at;
  };
  return {middle(x), middle(y)};
}

// A fit's centre is in the mean's own pixels; on the sensor the mean lies about the median place.
void put_on_sensor_at(DiscFit& fit, PixelPoint in_mean, const AlignedMean& mean, PixelPoint place) {
  const PixelOffset from_mean = in_mean - mean.centroid;
  fit.x.value = place.x + from_mean.x;
  fit.y.value = place.y + from_mean.y;
}
void put_on_sensor(DiscFit& fit, const AlignedMean& mean, PixelPoint place) {
  put_on_sensor_at(fit, fit.centre(), mean, place);
}

// The mean of the sharper frames, and the free fit of a disc to it, in the mean's own pixels.
struct MeanOfClip {
  std::vector<std::size_t> frames;
  AlignedMean mean;
  std::optional<DiscFit> fit;
};

Result<MeanOfClip> mean_of_clip(const Recording& recording, const RecordingIndex& index) {
  MeanOfClip m;
  const std::size_t half = std::max<std::size_t>(1, index.found() / 2);
  m.frames = sharpest(index, std::min(kMostAveraged, half));
  HALFARC_TRY(m.mean, aligned_mean(recording, index, m.frames, size_for(index)));
  return m;
}

// The two readings that go over many frames and ask nothing of each other; no mean of a clip without a compact object.
struct FirstReadings {
  std::optional<Result<ClipLight>> light;
  std::optional<Result<MeanOfClip>> mean;
};

FirstReadings read_at_once(const Recording& recording, const RecordingIndex& index, const ClipCheck& check,
                           Threads threads) {
  const bool compact = check.kind != ClipKind::surface && check.kind != ClipKind::empty;
  FirstReadings first;
  parallel_for(compact ? 2 : 1, threads, [&](std::size_t which) {
    if (which == 0) first.light = read_light(recording, !compact, check.clock, threads);
    if (which == 1) first.mean = mean_of_clip(recording, index);
  });
  return first;
}

DiscGuess guess_of(const MeanOfClip& m, const ClipCheck& check) {
  return {m.mean.centroid, check.summary.diameter, check.summary.background, check.summary.level};
}

// A star spread over the pixels looks like a disc, but breaks up into speckles. A named target is believed.
Result<bool> is_spread_star(const Recording& recording, const RecordingIndex& index, const AlignedMean& mean,
                            ClipCheck& check) {
  HALFARC_TRY(const auto contrast, speckle_contrast(recording, index, mean, check.summary.background));
  if (!contrast || !(contrast->value - 2.0 * contrast->sigma > kPointContrast)) return false;
  check.notes.push_back(
      fmt::format("Its frames break up into speckles (contrast {:.2f} ± {:.2f}), as only a point does: read as a star "
                  "(--as planet says otherwise).",
                  contrast->value, contrast->sigma));
  return true;
}

// Whether it is a disc, and which. Sets the kind when it was left to us; a named target is taken for a planet.
Result<void> read_disc(const Recording& recording, const RecordingIndex& index, MeanOfClip& m, bool has_target,
                       Threads threads, ClipCheck& check) {
  auto fit = fit_disc(m.mean.green(), guess_of(m, check), threads);
  bool is_disc = fit && !fit->doubt && !check.hollow;
  if (is_disc && !has_target && !check.kind_given) {
    HALFARC_TRY(const bool spread_star, is_spread_star(recording, index, m.mean, check));
    is_disc = !spread_star;
  }
  check.wide = !is_disc && !check.hollow && check.summary.diameter > kWidestPoint;
  if (!check.kind_given) check.kind = is_disc || (has_target && check.wide) ? ClipKind::planet : ClipKind::star;
  if (check.kind != ClipKind::planet) return {};
  if (is_disc) {
    m.fit = *fit;
    put_on_sensor(*fit, m.mean, *check.place);
    check.disc = std::move(*fit);
  } else if (!has_target) {
    check.notes.push_back(
        "No disc was measured: " + (fit ? fit->doubt.value_or("its middle is dark") : fit.error().what) + ".");
  }
  return {};
}

// The twilight sky, or a lit cloth before the telescope, fills the frame as a surface does. A dark sky is mostly the
// camera's black level, and shows no dust.
void tell_even_light(ClipCheck& check) {
  auto& shadows = check.light.shadows;
  if (shadows && !(shadows->evenly_lit() && check.summary.background > kLit * check.recording.full_scale()))
    shadows.reset();
  if (check.kind == ClipKind::surface && shadows && !check.kind_given) check.kind = ClipKind::empty;
  if (check.kind == ClipKind::surface) forget_sky(check.light);
}

// A star's ring may burn out as a disc does; its dark middle tells them apart.
void tell_burnt_ring(ClipCheck& check) {
  if (check.kind != ClipKind::bright || check.kind_given || !check.hollow) return;
  check.kind = ClipKind::star;
  check.notes.push_back("Part of the ring is burnt out: expose less.");
}

// Near focus coma shows in the brightest part alone; burnt out, it reads a third too small. A wide ring has the rest.
void tell_burnt_star(Donut& donut, ClipCheck& check) {
  constexpr double kNear_waves = 2.0, kBurntShare = 1e-3;
  const auto& burnt = check.summary.saturated;
  if (!donut.optics || donut.optics->defocus.value > kNear_waves) return;
  if (!(*std::max_element(burnt.begin(), burnt.end()) > kBurntShare)) return;
  donut.optics.reset();
  check.notes.push_back("No waves were measured: the star's brightest part is burnt out. Expose less.");
}

// The disc as its known shape has it, in place of the free fit.
void take_known_disc(const KnownDisc& known, const TargetView& view, const AlignedMean& mean, ClipCheck& check) {
  DiscFit disc = check.disc.value_or(DiscFit{});
  disc.x = known.x;
  disc.y = known.y;
  put_on_sensor_at(disc, known.centre(), mean, *check.place);
  disc.equatorial_diameter = known.diameter;
  disc.flattening = {1.0 - view.shape.polar_ratio, 0.0};
  if (known.pole) {
    const Angle half = Angle::deg(std::remainder(known.pole->value.deg(), 180.0));  // a free fit knows no ends
    disc.pole_angle = {half, known.pole->sigma};
  }
  if (!check.disc) disc.blur = known.blur;
  check.disc = disc;
}

// With the target that the recording names, where the owner named none and the sky is to be asked.
GeometryAsked asked_of(const RecordingInfo& info, const GeometryAsked& by_owner) {
  GeometryAsked asked = by_owner;
  if (!asked.target && asked.site) asked.target = target_named(info);
  return asked;
}

bool has_moons(const std::optional<sky::Body>& target) {
  return target == sky::Body::jupiter || target == sky::Body::saturn;
}

// Scale, angles, drift and colours on the sky, where target, time and place are known.
Result<void> read_sky(const Recording& recording, const RecordingIndex& index, std::span<const double> seconds,
                      const CheckOptions& options, const GeometryAsked& asked, const MeanOfClip& m, ClipCheck& check) {
  check.target = asked.target;
  if (!asked.asked()) return {};
  const bool has_disc = check.kind == ClipKind::planet;
  std::vector<Spot> spots;
  if (has_disc && m.fit && has_moons(asked.target)) {
    const double nearest = kGlow * m.fit->equatorial_diameter.value + 4.0 * m.fit->blur.value;
    HALFARC_TRY(spots, spots_beside(recording, index, m.frames, {*check.place, nearest, m.fit->blur.value}));
  }
  const GeometryFrom from{.index = index,
                          .times = seconds,
                          .mid = check.mid(),
                          .mean = has_disc ? &m.mean : nullptr,
                          .guess = guess_of(m, check),
                          .free_fit = has_disc && m.fit ? &*m.fit : nullptr,
                          .scale = options.scale,
                          .optics = options.optics,
                          .motion = check.motion,
                          .colours = check.colours,
                          .spots = spots,
                          .threads = options.threads};
  check.geometry = read_geometry(asked, from);
  const ClipGeometry& g = check.geometry;
  if (g.disc && g.view) take_known_disc(*g.disc, *g.view, m.mean, check);
  if (g.scale) {
    check.scale = PlateScale::arcsec_per_px(g.scale->arcsec_per_px.value);
    check.scale_source = g.scale->source;
  }
  check.notes.insert(check.notes.end(), g.notes.begin(), g.notes.end());
  return {};
}

// A disc and a star near focus tell the air by the differences between exposures, a star out of focus by its blur.
Result<void> take_air(const Recording& recording, const RecordingIndex& index, std::span<const double> seconds,
                      const CheckOptions& options, ClipCheck& check) {
  if (check.donut && check.donut->optics && !check.donut->tells_air()) {
    check.notes.push_back("No seeing was measured: the picture holds more than this telescope explains.");
  } else if (check.donut && check.donut->optics) {
    check.air = air_of(*check.donut->optics, check.donut->wavelength);
  } else if (options.optics && !check.hollow && !check.wide) {
    const Subject subject = check.kind == ClipKind::star ? Subject::point : Subject::extended;
    std::string why_not;
    HALFARC_TRY(check.air,
                read_air(recording, index, seconds, subject, check.motion, *options.optics, options.threads, why_not));
    if (!why_not.empty()) check.notes.push_back("No seeing was measured: " + why_not + ".");
  }
  if (check.air && options.airmass) look_overhead(*check.air, *options.airmass);
  return {};
}

}  // namespace

std::optional<Utc> ClipCheck::mid() const {
  if (clock) return clock->start + (clock->end - clock->start) * 0.5;
  return recording.start;
}

double ClipCheck::peak_fraction() const { return summary.peak / recording.full_scale(); }

std::optional<double> ClipCheck::effective_bits() const {
  const double steps = summary.noise > 0.0 ? (summary.peak - summary.background) / summary.noise : 0.0;
  if (kind == ClipKind::empty || !(steps > 1.0)) return std::nullopt;
  return std::log2(steps);
}

Result<ClipCheck> check_clip(const std::filesystem::path& clip, const CheckOptions& options, Progress& progress) {
  HALFARC_TRY(const auto recording, open_recording(clip));
  const RecordingInfo& info = recording->info();
  const GeometryAsked geometry = asked_of(info, options.geometry);
  HALFARC_TRY(const RecordingIndex index, index_recording(*recording, {.threads = options.threads}, progress));

  ClipCheck check;
  check.recording = info;
  check.scale = options.scale;
  check.scale_source = options.scale_source;
  check.summary = summarise(info, index);
  check.kind = options.kind.value_or(kind_from_index(check.summary));
  check.kind_given = options.kind.has_value();
  check.clock = audit_clock(info.times);
  check.repeated = repeated_pictures(index);
  check.notes = info.notes;
  if (index.found() == 0) check.kind = ClipKind::empty;
  FirstReadings first = read_at_once(*recording, index, check, options.threads);
  HALFARC_TRY(check.light, std::move(*first.light));
  tell_even_light(check);
  if (index.found() == 0) return check;
  check.place = median_place(index);
  const std::vector<double> seconds = seconds_of_frames(info.times, info.frames, std::nullopt);
  if (check.kind == ClipKind::surface || check.kind == ClipKind::empty) return check;
  check.motion = motion_of(index, seconds);
  // What runs out of the frame fades as well.
  if (check.summary.lit_border < kLeaving) check.fading = fading_of(index, seconds);
  HALFARC_TRY(MeanOfClip mean, std::move(*first.mean));
  check.hollow = is_hollow(mean.mean, check.summary);
  tell_burnt_ring(check);
  if (check.kind != ClipKind::bright)
    HALFARC_CHECK(read_disc(*recording, index, mean, geometry.target.has_value(), options.threads, check));
  if (check.kind == ClipKind::star) {
    mind_speckles(check.light);
    HALFARC_TRY(Donut donut, read_donut(*recording, index, seconds, check.hollow, options.optics));
    tell_burnt_star(donut, check);
    if (donut.empty() && check.wide) check.notes.push_back("No waves were measured: " + donut.why_no_optics + ".");
    if (!donut.empty()) check.donut = std::move(donut);
  }
  if (check.kind != ClipKind::bright) HALFARC_CHECK(take_air(*recording, index, seconds, options, check));
  // The colours of a ring or a wide blob differ in shape as well, and their centroids say nothing about dispersion.
  const bool compact = check.kind == ClipKind::star && !check.hollow && !check.wide;
  if (compact && info.mosaic != Mosaic::mono) check.colours = colour_shift_of_frames(index, 0.0);
  const bool over_exposed = check.kind == ClipKind::bright;
  if (over_exposed || check.kind == ClipKind::planet) {
    DiscLook look{check.summary.diameter, std::nullopt, over_exposed};
    if (mean.fit) look.blur = mean.fit->blur.value;
    HALFARC_TRY(check.colours, clip_colours(*recording, index, mean.frames, mean.mean, check.summary.background, look,
                                            options.threads));
  }
  HALFARC_CHECK(read_sky(*recording, index, seconds, options, geometry, mean, check));
  const auto& view = check.geometry.view;
  if (check.air && view && view->airmass && !options.airmass) look_overhead(*check.air, *view->airmass);
  if (options.advise) check.advice = options.advise(check);
  return check;
}

}  // namespace halfarc
