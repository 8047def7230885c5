#include "halfarc/app/derotate_runs.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "halfarc/app/place_disc.h"
#include "halfarc/restore/colour_align.h"
#include "halfarc/restore/combine.h"
#include "halfarc/restore/derotate.h"
#include "halfarc/restore/smooth.h"
#include "halfarc/sky/observer.h"
#include "halfarc/sky/place.h"
#include "halfarc/sky/turning.h"

namespace halfarc {
namespace {

constexpr double kMostSmear = 0.1;             // of the finest period that the aperture passes: 1.6 % of its contrast
constexpr std::size_t kLeastInSlice = 96;      // frames recorded
constexpr double kMostHours = 3.0;             // the rotation model's span
constexpr double kGreenNm = 535.0;             // where the finest period is counted
constexpr Angle kSameAxis = Angle::deg(12.0);  // a typed north this near to the measured axis means that axis
constexpr double kSureOfNorth = 3.0;           // sigma
constexpr double kWell = 0.75;                 // of the radius: where spots are compared
constexpr std::size_t kGreen = static_cast<std::size_t>(Colour::green);

sky::LongitudeSystem system_for(sky::Body body) {
  if (body == sky::Body::jupiter) return sky::LongitudeSystem::two;
  return body == sky::Body::saturn ? sky::LongitudeSystem::three : sky::LongitudeSystem::one;
}

// One slice of one run, placed.
struct Placed {
  const StackSlice* slice = nullptr;
  Utc at;
  std::array<PixelPoint, 3> centre;
  std::array<double, 2> frames{};

  DerotationSlice for_derotation() const { return {at, {&slice->halves[0], &slice->halves[1]}, frames, centre}; }
};

Utc mean_time(const RecordingInfo& run, std::span<const AlignedFrame> frames) {
  const Utc first = run.times[frames.front().number];
  double after = 0.0;
  for (const AlignedFrame& f : frames) after += (run.times[f.number] - first).s();
  return first + Duration::s(after / static_cast<double>(frames.size()));
}

// Both halves of one colour together.
Plane<float> both(const std::array<const ColourPlanes*, 2>& halves, std::array<double, 2> frames, std::size_t c) {
  const Plane<float>& a = (*halves[0])[c];
  const Plane<float>& b = (*halves[1])[c];
  if (a.empty() || b.empty()) return (a.empty() ? b : a).copy();
  const float share = static_cast<float>(frames[1] / (frames[0] + frames[1]));
  Plane<float> mean = a.copy();
  for (std::size_t i = 0; i < mean.count(); ++i) mean.samples()[i] += share * (b.samples()[i] - a.samples()[i]);
  return mean;
}

std::array<const ColourPlanes*, 2> halves_of(const Stack& stack) {
  return {&stack.halves[0].planes, &stack.halves[1].planes};
}

// What the runs' own pictures say about the disc, each run's word counting the same.
struct SeenDiscs {
  std::vector<Placed> slices;
  double radius = 0.0;
  LimbModel limb;
  std::optional<Measured<Angle>> axis;  // at the model's reference
};

// Where red and blue lie against green in one run.
std::array<PixelOffset, 3> colours_of(const Stack& stack) {
  std::array<PixelOffset, 3> offsets{};
  if (stack.halves[0].planes[0].empty()) return offsets;
  const Spectrum green = spectrum_of(both(halves_of(stack), {1.0, 1.0}, kGreen));
  for (const std::size_t c : {std::size_t{0}, std::size_t{2}}) {
    const ColourOffset found = colour_offset(green, spectrum_of(both(halves_of(stack), {1.0, 1.0}, c)));
    if (found.found) offsets[c] = found.offset;
  }
  return offsets;
}

Result<SeenDiscs> look_at_discs(const std::vector<Stack>& stacks, std::span<const RecordingInfo> runs,
                                const DerotateRequest& request, const DerotationPlan& plan) {
  const bool ringed = request.body == sky::Body::saturn;
  SeenDiscs seen;
  double fitted = 0.0, along = 0.0, across = 0.0, weight = 0.0;
  seen.limb = {0.0, 0.0};
  for (std::size_t r = 0; r < stacks.size(); ++r) {
    const auto run = place_disc(both(halves_of(stacks[r]), {1.0, 1.0}, kGreen), plan.expected_radius, ringed);
    if (!run) {
      return bad_input("no disc was found on it that could be turned", runs[r].path.string(), "leave --target out");
    }
    const double n = static_cast<double>(stacks.size());
    seen.radius += run->equatorial_radius / n;
    seen.limb.darkening += run->darkening / n;
    seen.limb.blur += run->blur / n;
    fitted += run->fitted ? 1.0 : 0.0;
    if (run->axis) {
      // North at the run, brought to the reference: what an upright disc would have turned by is taken off.
      DiscOnImage upright;
      upright.mirrored = request.mirrored;
      upright.mount = request.mount;
      const Angle turned = north_at(plan.model, upright, mean_time(runs[r], stacks[r].kept));
      const Angle twice = 2.0 * (run->axis->value - turned);
      const double w = 1.0 / std::pow(run->axis->sigma.rad(), 2);
      along += w * cos(twice);
      across += w * sin(twice);
      weight += w;
    }
    const std::array<PixelOffset, 3> colours = colours_of(stacks[r]);
    for (const StackSlice& slice : stacks[r].slices) {
      Placed placed;
      placed.slice = &slice;
      placed.at = mean_time(runs[r], slice.kept);
      for (const AlignedFrame& f : slice.kept) placed.frames[static_cast<std::size_t>(f.half)] += 1.0;
      const auto here =
          place_disc(both({&slice.halves[0], &slice.halves[1]}, placed.frames, kGreen), plan.expected_radius, ringed);
      // A slice that cannot be placed in the way of its run stays where the run is.
      const PixelPoint centre = here && here->fitted == run->fitted ? here->centre : run->centre;
      for (std::size_t c = 0; c < 3; ++c) placed.centre[c] = centre + colours[c];
      seen.slices.push_back(placed);
    }
  }
  // A radius that only some runs were fitted for would change from run to run.
  if (fitted < static_cast<double>(stacks.size())) seen.radius = plan.expected_radius;
  if (weight > 0.0) {
    seen.axis = {0.5 * Angle::rad(std::atan2(across, along)), Angle::rad(1.0 / std::sqrt(weight))};
  }
  return seen;
}

// Correlation of two pictures' fine detail well inside the disc.
double agreement(const Plane<float>& a, const Plane<float>& b, PixelPoint centre, double radius) {
  double n = 0.0, sa = 0.0, sb = 0.0, saa = 0.0, sbb = 0.0, sab = 0.0;
  for (int y = 0; y < a.height(); ++y) {
    for (int x = 0; x < a.width(); ++x) {
      if ((PixelPoint{double(x), double(y)} - centre).length() > radius) continue;
      const double u = static_cast<double>(a(x, y));
      const double v = static_cast<double>(b(x, y));
      n += 1.0, sa += u, sb += v, saa += u * u, sbb += v * v, sab += u * v;
    }
  }
  const double spread = std::sqrt(std::max(0.0, n * saa - sa * sa) * std::max(0.0, n * sbb - sb * sb));
  return spread > 0.0 ? (n * sab - sa * sb) / spread : 0.0;
}

// How well the earlier and the later half of the slices agree when the globe's north is `target.disc.north`.
double agreement_with(const RotationModel& model, const DerotationTarget& target, std::span<const Placed> slices,
                      double detail, Threads threads) {
  std::array<Plane<float>, 2> pictures;
  for (std::size_t part = 0; part < 2; ++part) {
    Derotation one(model, target);
    for (std::size_t i = part * slices.size() / 2; i < (part + 1) * slices.size() / 2; ++i) {
      one.add(slices[i].for_derotation(), threads);
    }
    const Derotation::Result mean = one.mean();
    pictures[part] = both({&mean.halves[0], &mean.halves[1]}, {1.0, 1.0}, kGreen);
    if (pictures[part].empty()) return 0.0;
    // Detail between a resolution element, below which is noise, and a few of them, above which is the limb.
    pictures[part] = fine_detail(gaussian_smooth(pictures[part], 0.5 * detail), 4.0 * detail);
  }
  return agreement(pictures[0], pictures[1], target.centre, kWell * target.disc.equatorial_radius);
}

Error north_unknown(const std::string& why) {
  return bad_input(why, "north",
                   "type --north DEG, where the planet's north pole lies on the image, clockwise from up");
}

// The north to use: typed, sharpened by the measured axis; else that end of the axis with which the data agree.
Result<Angle> choose_north(const DerotateRequest& request, const DerotationPlan& plan, const SeenDiscs& seen,
                           DerotationTarget target, double detail, Threads threads) {
  if (request.north) {
    if (!seen.axis || request.body == sky::Body::saturn) return *request.north;
    const Angle off = 0.5 * wrap_signed(2.0 * (seen.axis->value - *request.north));
    return abs(off) < kSameAxis ? *request.north + off : *request.north;
  }
  if (!seen.axis) return north_unknown("the disc is too round to show where its poles are");
  std::vector<Placed> in_time = seen.slices;
  std::stable_sort(in_time.begin(), in_time.end(), [](const Placed& a, const Placed& b) { return a.at < b.at; });
  std::array<double, 2> found{};
  for (std::size_t k = 0; k < 2; ++k) {
    target.disc.north = seen.axis->value + Angle::deg(k == 0 ? 0.0 : 180.0);
    found[k] = in_time.size() < 2 ? 0.0 : agreement_with(plan.model, target, in_time, detail, threads);
  }
  // Independent pieces of the disc, each one resolution element of detail; Fisher's transform makes their spread even.
  const double pieces = std::numbers::pi * std::pow(kWell * seen.radius / (2.0 * detail), 2);
  const double apart =
      std::abs(std::atanh(std::clamp(found[0], -0.999, 0.999)) - std::atanh(std::clamp(found[1], -0.999, 0.999)));
  if (apart < kSureOfNorth * std::sqrt(2.0 / std::max(1.0, pieces - 3.0))) {
    return north_unknown("the data do not show which end of the disc's axis is north");
  }
  return wrap_positive(seen.axis->value + Angle::deg(found[0] > found[1] ? 0.0 : 180.0));
}

std::vector<std::size_t> cuts_of(const std::vector<Utc>& times, Duration slice) {
  const Duration length = times.back() - times.front();
  const std::size_t affordable = std::max<std::size_t>(1, times.size() / kLeastInSlice);
  const double wanted = std::ceil(std::max(1e-9, length.s() / slice.s()));
  const std::size_t count = std::min(affordable, static_cast<std::size_t>(std::min(wanted, 1e6)));
  std::vector<std::size_t> cuts;
  for (std::size_t k = 1; k < count; ++k) {
    const Utc at = times.front() + Duration::s(length.s() * static_cast<double>(k) / static_cast<double>(count));
    const auto here = std::lower_bound(times.begin(), times.end(), at);
    cuts.push_back(static_cast<std::size_t>(here - times.begin()));
  }
  if (cuts.empty()) cuts.push_back(times.size());  // one slice, and it is kept as one
  return cuts;
}

}  // namespace

std::string_view name_of(NorthSource source) { return source == NorthSource::given ? "given" : "measured"; }

Result<DerotationPlan> plan_derotation(const DerotateRequest& request, std::span<const RecordingInfo> runs) {
  if (request.body == sky::Body::sun || request.body == sky::Body::moon) {
    return bad_input("its turning is not undone", std::string(name_of(request.body)), "leave --target out");
  }
  Utc first = runs.front().times.empty() ? Utc() : runs.front().times.front();
  Utc last = first;
  for (const RecordingInfo& run : runs) {
    if (run.times.empty()) {
      return bad_input("its frames have no times, so what turned meanwhile cannot be undone", run.path.string(),
                       "leave --target out");
    }
    first = std::min(first, run.times.front());
    last = std::max(last, run.times.back());
  }
  const Utc at = request.at.value_or(first + 0.5 * (last - first));
  const Duration span = std::max(at - first, last - at);
  if (span > Duration::hours(kMostHours)) {
    return bad_input("runs lie more than 3 h from " + at.iso(0), runs.front().path.string(),
                     "make an image of runs that are nearer to each other");
  }
  const auto altitude = place_of(request.body, sky::observe_from(request.site, at)).horizontal.altitude;
  if (altitude < Angle()) {
    return bad_input(std::string(name_of(request.body)) + " was below the horizon at " + at.iso(0),
                     runs.front().path.string(), "check --target, the site (halfarc init) and the computer's clock");
  }
  DerotationPlan plan;
  plan.model = sky::rotation_model(request.body, system_for(request.body), request.site, at,
                                   std::max(span, Duration::minutes(10.0)));
  plan.expected_radius = 0.5 * request.aperture.scale.pixels(plan.model.equatorial_diameter.at_reference);
  DiscOnImage disc;
  disc.equatorial_radius = plan.expected_radius;
  disc.mount = request.mount;
  const double allowed = kMostSmear / cut_off_per_px(request.aperture, Length::nm(kGreenNm));
  plan.slice = Duration::s(std::min(600.0, allowed / std::max(1e-9, smear_rate(plan.model, disc))));
  for (const RecordingInfo& run : runs) plan.cuts.push_back(cuts_of(run.times, plan.slice));
  return plan;
}

Result<DerotatedStack> derotate_stacks(std::vector<Stack> stacks, std::span<const RecordingInfo> runs,
                                       const DerotateRequest& request, const DerotationPlan& plan, Threads threads,
                                       Progress& progress) {
  HALFARC_TRY(const SeenDiscs seen, look_at_discs(stacks, runs, request, plan));
  DerotationTarget target;
  target.at = plan.model.reference;
  target.width = stacks.front().window.width;
  target.height = stacks.front().window.height;
  target.centre = seen.slices.front().centre[kGreen];
  target.disc.equatorial_radius = seen.radius;
  target.disc.mirrored = request.mirrored;
  target.disc.mount = request.mount;
  if (request.body == sky::Body::saturn) target.disc.ring = kRingOfSaturn;
  target.limb = seen.limb;
  HALFARC_TRY(target.disc.north, choose_north(request, plan, seen, target, seen.limb.blur, threads));

  Derotation derotation(plan.model, target);
  for (std::size_t i = 0; i < seen.slices.size(); ++i) {
    if (progress.stop_requested()) return cancelled();
    derotation.add(seen.slices[i].for_derotation(), threads);
    progress.report("derotate", i + 1, seen.slices.size());
  }
  Derotation::Result turned = derotation.mean();
  DerotatedStack result;
  result.at = target.at;
  result.north = wrap_positive(target.disc.north);
  result.north_source = request.north ? NorthSource::given : NorthSource::measured;
  result.slices = seen.slices.size();
  result.unseen = turned.unseen;
  result.stack = std::move(stacks.front());
  result.stack.slices.clear();
  for (std::size_t h = 0; h < 2; ++h) result.stack.halves[h].planes = std::move(turned.halves[h]);
  for (std::size_t r = 1; r < stacks.size(); ++r) join_records(result.stack, stacks[r]);
  return result;
}

}  // namespace halfarc
