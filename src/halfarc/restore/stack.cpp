#include "halfarc/restore/stack.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <mutex>
#include <optional>

#include "halfarc/base/fourier.h"
#include "halfarc/base/stopwatch.h"
#include "halfarc/restore/colour_align.h"
#include "halfarc/restore/luminance.h"
#include "halfarc/restore/register.h"

namespace halfarc {
namespace {

constexpr std::size_t kLeastFrames = 4;        // in a half
constexpr std::size_t kReferenceFrames = 160;  // most that build a reference
constexpr int kReferenceRounds = 3;
constexpr std::size_t kSlices = 20;          // of the graded frames, for selection
constexpr std::size_t kFramesPerSlice = 24;  // looked at in each
constexpr std::size_t kBlurGroups = 8;
constexpr std::size_t kBlurFrames = 480;
constexpr std::size_t kBurst = kNeighbours + 1;  // frames that follow each other
constexpr std::size_t kChunksPerHalf = 4;
constexpr std::size_t kStageMemory = std::size_t{256} << 20;  // bytes that one stage may hold, whatever the frame size

// As many things of `bytes` each as a stage may hold, between `least` and `most`.
std::size_t affordable(std::size_t most, std::size_t least, std::size_t bytes) {
  return std::clamp(kStageMemory / std::max<std::size_t>(1, bytes), least, most);
}

std::size_t spectrum_bytes(const Window& window) {
  return half_spectrum_size(window.width, window.height) * sizeof(std::complex<float>);
}

// Reads single frames; one buffer a caller.
class FrameReader {
 public:
  explicit FrameReader(const Recording& recording)
      : recording_(recording), buffer_(static_cast<int>(recording.info().bytes_per_frame()), 1) {}
  Result<std::span<const std::byte>> read(std::size_t number) {
    const std::span<std::byte> bytes = buffer_.samples();
    HALFARC_CHECK(recording_.read(number, 1, bytes));
    return std::span<const std::byte>(bytes);
  }

 private:
  const Recording& recording_;
  Plane<std::byte> buffer_;
};

// Runs body(i) -> Result<void> for i in [0, count) on all threads; the first error (lowest index) is returned.
Result<void> for_each_index(std::size_t count, Threads threads, Progress& progress, std::string_view stage,
                            const std::function<Result<void>(std::size_t)>& body) {
  std::mutex mutex;
  std::optional<std::pair<std::size_t, Error>> first;
  std::atomic<std::size_t> done{0};
  std::atomic<bool> stop{false};
  parallel_for(count, threads, [&](std::size_t i) {
    if (stop) return;
    Result<void> outcome = progress.stop_requested() ? Result<void>(cancelled()) : body(i);
    if (!outcome) {
      stop = true;
      const std::lock_guard lock(mutex);
      if (!first || i < first->first) first.emplace(i, std::move(outcome).error());
    }
    progress.report(stage, ++done, count);
  });
  if (first) return std::move(first->second);
  return {};
}

Result<Spectrum> luminance_spectrum(const Recording& recording, FrameReader& reader, std::size_t number,
                                    const Window& window) {
  HALFARC_TRY(const std::span<const std::byte> bytes, reader.read(number));
  Plane<float> grey(window.width, window.height);
  luminance(recording.info(), bytes, window, grey);
  return spectrum_of(grey);
}

// The mean of spectra, each moved back by its frame's shift.
Plane<float> aligned_mean(std::span<const Spectrum> spectra, std::span<const PixelOffset> shifts) {
  Spectrum sum;
  sum.width = spectra.front().width;
  sum.height = spectra.front().height;
  sum.values = Plane<std::complex<float>>(spectra.front().values.width(), spectra.front().values.height());
  for (std::size_t i = 0; i < spectra.size(); ++i) {
    Spectrum moved;
    moved.width = sum.width;
    moved.height = sum.height;
    moved.values = spectra[i].values.copy();
    move_by(moved, -shifts[i]);
    for (std::size_t k = 0; k < sum.values.count(); ++k) {
      sum.values.samples()[k] += moved.values.samples()[k] * (1.0F / static_cast<float>(spectra.size()));
    }
  }
  return picture_of(sum);
}

// A half's own reference: the best frames of the half, aligned to their own improving mean. Also where it thinks the
// light's centroid lies.
struct HalfReference {
  Reference reference;
  PixelPoint place;
};

Result<HalfReference> build_reference(const Recording& recording, std::span<const GradedFrame> best,
                                      const Window& window, const StackOptions& options, Progress& progress) {
  std::vector<Spectrum> spectra(best.size());
  HALFARC_CHECK(for_each_index(best.size(), options.threads, progress, "reference", [&](std::size_t i) -> Result<void> {
    FrameReader reader(recording);
    HALFARC_TRY(spectra[i], luminance_spectrum(recording, reader, best[i].number, window));
    return {};
  }));
  // The sharpest tenth, laid on top of each other by their centroids, is the first reference.
  const PixelPoint place = best.front().place;
  std::vector<PixelOffset> shifts;
  for (const GradedFrame& f : best) shifts.push_back(f.place - place);
  const std::size_t start = std::min(best.size(), std::max<std::size_t>(kLeastFrames, best.size() / 10));
  Reference reference(aligned_mean(std::span(spectra).first(start), std::span(shifts).first(start)));
  for (int round = 0; round < kReferenceRounds; ++round) {
    parallel_for(best.size(), options.threads, [&](std::size_t i) {
      shifts[i] = reference.find(spectra[i], round == 0 ? best[i].place - place : shifts[i], options.reach).shift;
    });
    reference = Reference(aligned_mean(spectra, shifts));
  }
  return HalfReference{std::move(reference), place};
}

// The candidates of one half, sharpest first.
std::vector<GradedFrame> best_of_half(std::span<const GradedFrame> candidates, int half, std::size_t stretch) {
  std::vector<GradedFrame> result;
  for (const GradedFrame& f : candidates) {
    if (static_cast<int>(f.number / stretch % 2) == half) result.push_back(f);
  }
  return result;
}

std::vector<GradedFrame> sharpest(std::span<const GradedFrame> frames, std::size_t most) {
  std::vector<GradedFrame> sorted(frames.begin(), frames.end());
  std::sort(sorted.begin(), sorted.end(), [](const GradedFrame& a, const GradedFrame& b) {
    return a.sharpness != b.sharpness ? a.sharpness > b.sharpness : a.number < b.number;
  });
  if (sorted.size() > most) sorted.resize(most);
  return sorted;
}

// How many of the aligned frames (best likeness first) to keep.
Result<KeptFraction> choose_fraction(const Recording& recording, std::span<const AlignedFrame> sorted,
                                     const Window& window, const StackOptions& options, Progress& progress) {
  const std::size_t slices = std::min(affordable(kSlices, 5, 3 * spectrum_bytes(window)), sorted.size() / 4);
  std::vector<SiteSums> sums(slices, SiteSums(window));
  HALFARC_CHECK(for_each_index(slices, options.threads, progress, "select", [&](std::size_t s) -> Result<void> {
    FrameReader reader(recording);
    const std::size_t begin = sorted.size() * s / slices;
    const std::size_t end = sorted.size() * (s + 1) / slices;
    const std::size_t looks = std::min(kFramesPerSlice, end - begin);
    for (std::size_t k = 0; k < looks; ++k) {
      const AlignedFrame& f = sorted[begin + (end - begin) * k / looks];
      HALFARC_TRY(const std::span<const std::byte> bytes, reader.read(f.number));
      sums[s].add(site_pair(recording.info(), bytes, window, f.shift));
    }
    return {};
  }));
  return most_informative_fraction(sums, sorted.size());
}

Result<Accumulator::Mean> accumulate_half(const Recording& recording, std::span<const AlignedFrame> frames,
                                          const Window& window, const StackOptions& options, Progress& progress) {
  const std::size_t chunks = std::min(kChunksPerHalf, frames.size());
  std::vector<Accumulator> parts(chunks);
  HALFARC_CHECK(for_each_index(chunks, options.threads, progress, "stack", [&](std::size_t c) -> Result<void> {
    parts[c] = Accumulator(recording.info(), window);
    FrameReader reader(recording);
    for (std::size_t i = frames.size() * c / chunks; i < frames.size() * (c + 1) / chunks; ++i) {
      if (progress.stop_requested()) return cancelled();
      HALFARC_TRY(const std::span<const std::byte> bytes, reader.read(frames[i].number));
      parts[c].add(recording.info(), bytes, frames[i].shift);
    }
    return {};
  }));
  for (std::size_t c = 1; c < chunks; ++c) parts[0].join(parts[c]);
  return parts[0].mean();
}

std::vector<AlignedFrame> of_half(std::span<const AlignedFrame> frames, int half) {
  std::vector<AlignedFrame> result;
  std::copy_if(frames.begin(), frames.end(), std::back_inserter(result),
               [half](const AlignedFrame& f) { return f.half == half; });
  return result;
}

// The kept frames between the cuts, each stretch stacked by itself.
Result<std::vector<StackSlice>> accumulate_slices(const Recording& recording, std::span<const AlignedFrame> kept,
                                                  const Window& window, const StackOptions& options,
                                                  Progress& progress) {
  std::vector<StackSlice> slices(1);
  auto cut = options.cuts.begin();
  for (const AlignedFrame& f : kept) {
    const auto next = std::find_if(cut, options.cuts.end(), [&](std::size_t c) { return c > f.number; });
    if (next != cut && !slices.back().kept.empty()) slices.emplace_back();
    cut = next;
    slices.back().kept.push_back(f);
  }
  for (StackSlice& slice : slices) {
    for (int h = 0; h < 2; ++h) {
      const std::vector<AlignedFrame> half = of_half(slice.kept, h);
      if (half.empty()) continue;
      HALFARC_TRY(Accumulator::Mean mean, accumulate_half(recording, half, window, options, progress));
      slice.halves[static_cast<std::size_t>(h)] = std::move(mean.planes);
    }
  }
  return slices;
}

// The mean of all slices of one half, each with the weight of its frames.
Accumulator::Mean mean_of_slices(std::span<const StackSlice> slices, int half) {
  Accumulator::Mean mean;
  double frames = 0.0;
  for (const StackSlice& slice : slices) {
    const ColourPlanes& planes = slice.halves[static_cast<std::size_t>(half)];
    const double count = static_cast<double>(of_half(slice.kept, half).size());
    if (count == 0.0) continue;
    frames += count;
    const float share = static_cast<float>(count / frames);
    for (std::size_t c = 0; c < 3; ++c) {
      if (planes[c].empty()) continue;
      if (mean.planes[c].empty()) {
        mean.planes[c] = planes[c].copy();
        continue;
      }
      const std::span<float> to = mean.planes[c].samples();
      const std::span<const float> from = planes[c].samples();
      for (std::size_t i = 0; i < to.size(); ++i) to[i] += share * (from[i] - to[i]);
    }
  }
  return mean;
}

// Lays frames on the references of both halves, whose own places are brought together.
class Aligner {
 public:
  Aligner(const Recording& recording, const Window& window, std::vector<HalfReference> references, std::size_t stretch,
          double reach)
      : recording_(recording), window_(window), references_(std::move(references)), stretch_(stretch), reach_(reach) {
    between_ = colour_offset(references_[0].reference.spectrum(), references_[1].reference.spectrum()).offset;
  }

  Result<AlignedFrame> place(const GradedFrame& frame, FrameReader& reader) const {
    const std::size_t h = frame.number / stretch_ % 2;
    HALFARC_TRY(const Spectrum spectrum, luminance_spectrum(recording_, reader, frame.number, window_));
    const Registration found = references_[h].reference.find(spectrum, frame.place - references_[h].place, reach_);
    const PixelOffset shift = h == 1 ? found.shift + between_ : found.shift;
    return AlignedFrame{frame.number, static_cast<int>(h), shift, found.likeness};
  }

 private:
  const Recording& recording_;
  Window window_;
  std::vector<HalfReference> references_;
  std::size_t stretch_;
  double reach_;
  PixelOffset between_;
};

// The exposure in intervals between frames, as far as the file tells both. A header may mean the whole run's exposure:
// what does not fit between two frames is not believed.
double exposure_share(const RecordingInfo& info) {
  if (!info.exposure || info.times.size() < 2) return kUsualExposure;
  std::vector<double> intervals;
  for (std::size_t i = 1; i < info.times.size(); ++i) intervals.push_back((info.times[i] - info.times[i - 1]).s());
  const auto middle = intervals.begin() + static_cast<std::ptrdiff_t>(intervals.size() / 2);
  std::nth_element(intervals.begin(), middle, intervals.end());
  const double share = *middle > 0.0 ? info.exposure->s() / *middle : 0.0;
  return share > 0.0 && share <= 1.05 ? share : kUsualExposure;
}

// Site sums of frames of all grades, in bursts of neighbours evenly over the run, in groups that are stretches of time.
Result<AirLook> look_at_air(const Recording& recording, std::span<const GradedFrame> frames, const Aligner& aligner,
                            const Window& window, const StackOptions& options, Progress& progress) {
  std::vector<GradedFrame> by_time(frames.begin(), frames.end());
  std::sort(by_time.begin(), by_time.end(),
            [](const GradedFrame& a, const GradedFrame& b) { return a.number < b.number; });
  const std::size_t bursts = std::min(kBlurFrames, by_time.size()) / kBurst;
  const std::size_t groups = std::min(kBlurGroups, bursts);
  AirLook look;
  look.exposure = exposure_share(recording.info());
  look.groups.assign(groups, SiteSums(window));
  std::vector<std::vector<PlacedFrame>> places(groups);
  HALFARC_CHECK(for_each_index(groups, options.threads, progress, "blur", [&](std::size_t g) -> Result<void> {
    FrameReader reader(recording);
    SiteSums& sums = look.groups[g];
    for (std::size_t b = bursts * g / groups; b < bursts * (g + 1) / groups; ++b) {
      const std::span<const GradedFrame> burst = std::span(by_time).subspan(by_time.size() * b / bursts, kBurst);
      std::vector<SitePair> pairs;
      for (const GradedFrame& graded : burst) {
        HALFARC_TRY(const AlignedFrame f, aligner.place(graded, reader));
        HALFARC_TRY(const std::span<const std::byte> bytes, reader.read(f.number));
        pairs.push_back(site_pair(recording.info(), bytes, window, f.shift));
        places[g].push_back({f.number, f.shift});
        sums.add(pairs.back());
        for (std::size_t k = 0; k + 1 < pairs.size(); ++k) {
          const std::size_t apart = graded.number - burst[k].number;
          if (apart <= kNeighbours) sums.add_neighbours(pairs[k], pairs.back(), apart);
        }
      }
    }
    return {};
  }));
  for (const auto& group : places) look.places.insert(look.places.end(), group.begin(), group.end());
  return look;
}

}  // namespace

Result<Stack> stack_frames(const Recording& recording, std::span<const GradedFrame> frames, const Window& window,
                           const StackOptions& options, Progress& progress) {
  // Short runs are dealt in shorter stretches, so that each half still sees most of the run.
  const std::size_t stretch = std::clamp<std::size_t>(frames.size() / 16, 1, options.stretch);
  const std::vector<GradedFrame> candidates = sharpest(frames, options.most_candidates);
  Stopwatch watch;
  Stack stack;
  stack.window = window;
  stack.candidates = candidates.size();

  std::vector<HalfReference> references;
  std::array<std::vector<GradedFrame>, 2> halves;
  for (int h = 0; h < 2; ++h) {
    std::vector<GradedFrame>& half = halves[static_cast<std::size_t>(h)];
    half = best_of_half(candidates, h, stretch);
    if (half.size() < kLeastFrames) {
      return bad_input("only " + std::to_string(frames.size()) + " frames can be used", recording.info().path.string(),
                       "a run needs at least " + std::to_string(4 * kLeastFrames) + "; record for longer");
    }
    const std::span<const GradedFrame> best = std::span<const GradedFrame>(half).first(
        std::min(half.size(), affordable(kReferenceFrames, 16, spectrum_bytes(window))));
    HALFARC_TRY(HalfReference reference, build_reference(recording, best, window, options, progress));
    references.push_back(std::move(reference));
  }
  const Aligner aligner(recording, window, std::move(references), stretch, options.reach);
  std::vector<AlignedFrame> aligned(candidates.size());
  HALFARC_CHECK(
      for_each_index(candidates.size(), options.threads, progress, "align", [&](std::size_t i) -> Result<void> {
        FrameReader reader(recording);
        HALFARC_TRY(aligned[i], aligner.place(candidates[i], reader));
        return {};
      }));
  std::sort(aligned.begin(), aligned.end(), [](const AlignedFrame& a, const AlignedFrame& b) {
    return a.likeness != b.likeness ? a.likeness > b.likeness : a.number < b.number;
  });
  stack.seconds.align = watch.lap();
  if (options.kept_fraction > 0.0) {
    stack.selection.fraction = options.kept_fraction;
  } else {
    HALFARC_TRY(stack.selection, choose_fraction(recording, aligned, window, options, progress));
  }
  stack.seconds.select = watch.lap();
  const double wanted = std::ceil(stack.selection.fraction * static_cast<double>(aligned.size()));
  const std::size_t kept =
      std::clamp(static_cast<std::size_t>(wanted), std::min(aligned.size(), 4 * kLeastFrames), aligned.size());
  stack.kept.assign(aligned.begin(), aligned.begin() + static_cast<std::ptrdiff_t>(kept));
  std::sort(stack.kept.begin(), stack.kept.end(),
            [](const AlignedFrame& a, const AlignedFrame& b) { return a.number < b.number; });

  if (!options.cuts.empty()) {
    HALFARC_TRY(stack.slices, accumulate_slices(recording, stack.kept, window, options, progress));
  }
  for (int h = 0; h < 2; ++h) {
    const std::vector<AlignedFrame> half = of_half(stack.kept, h);
    if (half.empty())
      return failed("all good frames fell into one half", recording.info().path.string(), "keep more frames");
    Accumulator::Mean& mean = stack.halves[static_cast<std::size_t>(h)];
    if (stack.slices.empty()) {
      HALFARC_TRY(mean, accumulate_half(recording, half, window, options, progress));
    } else {
      mean = mean_of_slices(stack.slices, h);
    }
  }
  HALFARC_TRY(AirLook air, look_at_air(recording, frames, aligner, window, options, progress));
  air.kept = static_cast<double>(stack.kept.size()) / static_cast<double>(frames.size());
  stack.air.push_back(std::move(air));
  stack.seconds.accumulate = watch.lap();
  return stack;
}

}  // namespace halfarc
