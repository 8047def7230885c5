#include "halfarc/app/check_clip.h"

#include <algorithm>
#include <cmath>

#include "halfarc/frames/stream.h"
#include "halfarc/measure/aligned_mean.h"
#include "halfarc/measure/index.h"
#include "halfarc/restore/colour_align.h"
#include "halfarc/restore/spectrum.h"

namespace halfarc {
namespace {

constexpr double kWidestPoint = 15.0;       // pixels; a wider blob without a hole may be anything out of focus
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

// The fit's centre is in the mean's own pixels; on the sensor the mean lies about the median place.
void put_on_sensor(DiscFit& fit, const AlignedMean& mean, PixelPoint place) {
  const PixelOffset from_mean = fit.centre() - mean.centroid;
  fit.x.value = place.x + from_mean.x;
  fit.y.value = place.y + from_mean.y;
}

// Red and blue against green by the detail they share.
std::optional<ColourShift> colours_of(const AlignedMean& mean, double background) {
  if (!mean.has_colours()) return std::nullopt;
  std::array<Picture, 3> pictures;
  for (std::size_t c = 0; c < 3; ++c) pictures[c] = picture_of(mean.colours[c], background);
  const Spectrum green = spectrum_of(pictures[1].samples);
  std::array<ColourOffset, 3> offsets;
  for (const std::size_t c : {std::size_t{0}, std::size_t{2}}) {
    offsets[c] = colour_offset(green, spectrum_of(pictures[c].samples));
    if (!offsets[c].found) return std::nullopt;
    offsets[c].offset = offsets[c].offset + (pictures[c].beside - pictures[1].beside);
  }
  return ColourShift{offsets[0].offset, offsets[2].offset, offsets[0].sigma, offsets[2].sigma};
}

// Disc and colours of a planet; the colours of a star. Sets the kind when it was left to us.
Result<void> read_mean(const Recording& recording, const RecordingIndex& index, ClipCheck& check) {
  const std::size_t half = std::max<std::size_t>(1, index.found() / 2);
  const auto frames = sharpest(index, std::min(kMostAveraged, half));
  HALFARC_TRY(const AlignedMean mean, aligned_mean(recording, index, frames, size_for(index)));
  const DiscGuess guess{mean.centroid, check.summary.diameter, check.summary.background, check.summary.level};
  auto fit = fit_disc(mean.green(), guess);
  check.hollow = is_hollow(mean, check.summary);
  const bool is_disc = fit && !fit->doubt && !check.hollow;
  check.wide = !is_disc && !check.hollow && check.summary.diameter > kWidestPoint;
  if (!check.kind_given) check.kind = is_disc ? ClipKind::planet : ClipKind::star;
  if (check.kind == ClipKind::planet) {
    if (is_disc) {
      check.colours = colours_of(mean, check.summary.background);
      put_on_sensor(*fit, mean, *check.place);
      check.disc = std::move(*fit);
    } else {
      check.notes.push_back(
          "No disc was measured: " + (fit ? fit->doubt.value_or("its middle is dark") : fit.error().what) + ".");
    }
  }
  return {};
}

// A disc and a star near focus tell the air by the differences between exposures, a star out of focus by its blur.
Result<void> take_air(const Recording& recording, const RecordingIndex& index, std::span<const double> seconds,
                      const CheckOptions& options, ClipCheck& check) {
  if (check.donut && check.donut->optics) {
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
  HALFARC_TRY(check.light, read_light(*recording, check.kind == ClipKind::empty, check.clock));
  if (index.found() == 0) return check;
  check.place = median_place(index);
  const std::vector<double> seconds = seconds_of_frames(info.times, info.frames, std::nullopt);
  if (check.kind == ClipKind::surface || check.kind == ClipKind::empty) return check;
  check.motion = motion_of(index, seconds);
  if (check.kind != ClipKind::bright) HALFARC_CHECK(read_mean(*recording, index, check));
  if (check.kind == ClipKind::star) {
    HALFARC_TRY(Donut donut, read_donut(*recording, index, seconds, check.hollow, options.optics));
    if (!donut.empty()) check.donut = std::move(donut);
  }
  if (check.kind != ClipKind::bright) HALFARC_CHECK(take_air(*recording, index, seconds, options, check));
  // The colours of a ring or a wide blob differ in shape as well, and their centroids say nothing about dispersion.
  const bool compact = check.kind == ClipKind::star && !check.hollow && !check.wide;
  if ((compact || check.kind == ClipKind::bright) && info.mosaic != Mosaic::mono) {
    check.colours = colour_shift_of_frames(index, check.kind == ClipKind::bright ? check.summary.diameter : 0.0);
  }
  if (options.advise) check.advice = options.advise(check);
  return check;
}

}  // namespace halfarc
