#include "halfarc/restore/stack.h"

#include <algorithm>
#include <cmath>

#include "halfarc/base/fourier.h"
#include "halfarc/base/stopwatch.h"
#include "halfarc/restore/aligner.h"
#include "halfarc/restore/frame_work.h"
#include "halfarc/restore/local_reader.h"

namespace halfarc {
namespace {

constexpr std::size_t kLeastFrames = 4;        // in a half
constexpr std::size_t kReferenceFrames = 160;  // most that build a reference
constexpr std::size_t kSlices = 20;            // of the graded frames, for selection
constexpr std::size_t kFramesPerSlice = 24;    // looked at in each
constexpr std::size_t kBlurGroups = 8;
constexpr std::size_t kBlurFrames = 480;
constexpr std::size_t kBurst = kNeighbours + 1;  // frames that follow each other
constexpr std::size_t kChunksPerHalf = 4;
constexpr double kLocalShiftSpread = 0.3;  // of what undoing leaves: how far that is trusted
constexpr std::size_t kLocalFrames = 160;  // of a half, from which its local air is learned
constexpr std::size_t kStageMemory = std::size_t{256} << 20;  // bytes that one stage may hold, whatever the frame size

// As many things of `bytes` each as a stage may hold, between `least` and `most`.
std::size_t affordable(std::size_t most, std::size_t least, std::size_t bytes) {
  return std::clamp(kStageMemory / std::max<std::size_t>(1, bytes), least, most);
}

std::size_t spectrum_bytes(const Window& window) {
  return half_spectrum_size(window.width, window.height) * sizeof(std::complex<float>);
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

using LocalReaders = std::array<LocalReader, 2>;  // one a half

// `frames` in the order of time.
Result<LocalReader> learn_local(const Recording& recording, View<const float> reference,
                                std::span<const AlignedFrame> frames, const Window& window,
                                const StackOptions& options, Progress& progress) {
  LocalReader reader(reference, recording.info(), window);
  const std::size_t count = std::min(kLocalFrames, frames.size());
  const auto one = [&](std::size_t i) -> Result<LocalReader::Look> {
    FrameReader file(recording);
    const AlignedFrame& frame = frames[frames.size() * i / count];
    HALFARC_TRY(const std::span<const std::byte> bytes, file.read(frame.number));
    return reader.look(bytes, frame.shift);
  };
  const auto each = [&](std::size_t n, const std::function<Result<void>(std::size_t)>& body) {
    return for_each_index(n, options.threads, progress, "local", body);
  };
  HALFARC_CHECK(reader.learn(count, one, each));
  return reader;
}

// How many of the aligned frames (best likeness first) to keep.
Result<KeptFraction> choose_fraction(const Recording& recording, std::span<const AlignedFrame> sorted,
                                     const Window& window, const LocalReaders& local, const StackOptions& options,
                                     Progress& progress) {
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
      const LocalReader& half = local[static_cast<std::size_t>(f.half)];
      sums[s].add(site_pair(recording.info(), bytes, window, f.shift,
                            half.field(half.read(bytes, f.shift))));
    }
    return {};
  }));
  return most_informative_fraction(sums, sorted.size());
}

// A frame that will be stacked, and what it says of local shifts.
struct KeptFrame {
  AlignedFrame frame;
  Readings local;
};

Result<std::vector<KeptFrame>> read_local(const Recording& recording, std::span<const AlignedFrame> frames,
                                          const LocalReaders& local, const StackOptions& options, Progress& progress) {
  std::vector<KeptFrame> kept(frames.size());
  HALFARC_CHECK(for_each_index(frames.size(), options.threads, progress, "local", [&](std::size_t i) -> Result<void> {
    const LocalReader& half = local[static_cast<std::size_t>(frames[i].half)];
    kept[i].frame = frames[i];
    if (half.air().same_all_over()) return {};
    FrameReader reader(recording);
    HALFARC_TRY(const std::span<const std::byte> bytes, reader.read(frames[i].number));
    kept[i].local = half.read(bytes, frames[i].shift);
    return {};
  }));
  return kept;
}

std::vector<Readings> readings_of(std::span<const KeptFrame> frames) {
  std::vector<Readings> readings;
  for (const KeptFrame& f : frames) {
    if (!f.local.empty()) readings.push_back(f.local);
  }
  return readings;
}

Result<Accumulator::Mean> accumulate_half(const Recording& recording, std::span<const KeptFrame> frames,
                                          const Window& window, const LocalReader& local, const StackOptions& options,
                                          Progress& progress) {
  const std::size_t chunks = std::min(kChunksPerHalf, frames.size());
  std::vector<Accumulator> parts(chunks);
  HALFARC_CHECK(for_each_index(chunks, options.threads, progress, "stack", [&](std::size_t c) -> Result<void> {
    parts[c] = Accumulator(recording.info(), window);
    FrameReader reader(recording);
    for (std::size_t i = frames.size() * c / chunks; i < frames.size() * (c + 1) / chunks; ++i) {
      if (progress.stop_requested()) return cancelled();
      HALFARC_TRY(const std::span<const std::byte> bytes, reader.read(frames[i].frame.number));
      parts[c].add(recording.info(), bytes, frames[i].frame.shift, local.field(frames[i].local));
    }
    return {};
  }));
  for (std::size_t c = 1; c < chunks; ++c) parts[0].join(parts[c]);
  return parts[0].mean();
}

bool by_number(const AlignedFrame& a, const AlignedFrame& b) { return a.number < b.number; }

std::vector<AlignedFrame> of_half(std::span<const AlignedFrame> frames, int half) {
  std::vector<AlignedFrame> result;
  std::copy_if(frames.begin(), frames.end(), std::back_inserter(result),
               [half](const AlignedFrame& f) { return f.half == half; });
  return result;
}

std::vector<KeptFrame> of_half(std::span<const KeptFrame> frames, int half) {
  std::vector<KeptFrame> result;
  std::copy_if(frames.begin(), frames.end(), std::back_inserter(result),
               [half](const KeptFrame& f) { return f.frame.half == half; });
  return result;
}

// The kept frames between the cuts, each stretch stacked by itself.
Result<std::vector<StackSlice>> accumulate_slices(const Recording& recording, std::span<const KeptFrame> kept,
                                                  const Window& window, const LocalReaders& local,
                                                  const StackOptions& options, Progress& progress) {
  const auto stretch_of = [&](const KeptFrame& f) {
    return std::upper_bound(options.cuts.begin(), options.cuts.end(), f.frame.number) - options.cuts.begin();
  };
  std::vector<StackSlice> slices;
  for (std::size_t begin = 0, end = 0; begin < kept.size(); begin = end) {
    while (end < kept.size() && stretch_of(kept[end]) == stretch_of(kept[begin])) ++end;
    const std::span<const KeptFrame> here = kept.subspan(begin, end - begin);
    StackSlice slice;
    for (const KeptFrame& f : here) slice.kept.push_back(f.frame);
    for (std::size_t h = 0; h < 2; ++h) {
      const std::vector<KeptFrame> half = of_half(here, static_cast<int>(h));
      if (half.empty()) continue;
      HALFARC_TRY(Accumulator::Mean mean, accumulate_half(recording, half, window, local[h], options, progress));
      slice.halves[h] = std::move(mean.planes);
    }
    slices.push_back(std::move(slice));
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

// Site sums of frames of all grades, in bursts of neighbours evenly over the run, dealt to groups in turns.
Result<AirLook> look_at_air(const Recording& recording, std::span<const GradedFrame> frames, const Aligner& aligner,
                            const Window& window, const LocalReaders& local, const StackOptions& options,
                            Progress& progress) {
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
    for (std::size_t b = g; b < bursts; b += groups) {
      const std::span<const GradedFrame> burst = std::span(by_time).subspan(by_time.size() * b / bursts, kBurst);
      std::vector<SitePair> pairs;
      for (const GradedFrame& graded : burst) {
        HALFARC_TRY(const AlignedFrame f, aligner.place(graded, reader));
        HALFARC_TRY(const std::span<const std::byte> bytes, reader.read(f.number));
        const LocalReader& half = local[static_cast<std::size_t>(f.half)];
        pairs.push_back(
            site_pair(recording.info(), bytes, window, f.shift, half.field(half.read(bytes, f.shift))));
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
  std::sort(look.places.begin(), look.places.end(),
            [](const PlacedFrame& a, const PlacedFrame& b) { return a.number < b.number; });
  return look;
}

// What the better half of the frames, best first, says of local shifts.
Result<LocalReaders> learn_local_shifts(const Recording& recording, const Aligner& aligner,
                                        std::span<const AlignedFrame> frames, const Window& window,
                                        const StackOptions& options, Progress& progress) {
  const std::span<const AlignedFrame> better = frames.first((frames.size() + 1) / 2);
  LocalReaders local;
  for (std::size_t h = 0; h < 2; ++h) {
    std::vector<AlignedFrame> half = of_half(better, static_cast<int>(h));
    std::sort(half.begin(), half.end(), by_number);
    HALFARC_TRY(local[h], learn_local(recording, aligner.reference(h), half, window, options, progress));
  }
  return local;
}

LocalShifts mean_of(const LocalReaders& local) {
  LocalShifts mean;
  double undone = 0.0;
  for (const LocalReader& half : local) {
    mean.probes += half.probes() / 2;
    mean.rms += 0.5 * half.air().rms();
    mean.left += 0.5 * half.air().left();
    mean.reach += 0.5 * half.air().reach();
    undone += 0.5 * half.air().undone();
  }
  mean.undone = std::sqrt(undone);
  return mean;
}

}  // namespace

Result<Stack> stack_frames(const Recording& recording, std::span<const GradedFrame> frames, const Window& window,
                           const StackOptions& options, Progress& progress) {
  // Short runs are dealt in shorter stretches, so that each half still sees most of the run.
  const std::size_t stretch = std::clamp<std::size_t>(frames.size() / 16, 1, options.stretch);
  const auto asked_for =
      static_cast<std::size_t>(std::ceil(options.kept_fraction * static_cast<double>(frames.size())));
  const std::vector<GradedFrame> candidates =
      sharpest(frames, std::max(options.most_candidates, asked_for + asked_for / 2));
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
  LocalReaders local;
  if (options.local) {
    HALFARC_TRY(local, learn_local_shifts(recording, aligner, aligned, window, options, progress));
  }
  stack.local = mean_of(local);
  if (options.kept_fraction > 0.0) {
    stack.selection.fraction =
        std::min(1.0, static_cast<double>(asked_for) / static_cast<double>(std::max<std::size_t>(1, aligned.size())));
  } else {
    HALFARC_TRY(stack.selection, choose_fraction(recording, aligned, window, local, options, progress));
  }
  stack.seconds.select = watch.lap();
  const double wanted = std::ceil(stack.selection.fraction * static_cast<double>(aligned.size()));
  const std::size_t kept =
      std::clamp(static_cast<std::size_t>(wanted), std::min(aligned.size(), 4 * kLeastFrames), aligned.size());
  stack.kept.assign(aligned.begin(), aligned.begin() + static_cast<std::ptrdiff_t>(kept));
  std::sort(stack.kept.begin(), stack.kept.end(), by_number);

  HALFARC_TRY(const std::vector<KeptFrame> frames_kept,
              read_local(recording, stack.kept, local, options, progress));
  std::array<std::vector<KeptFrame>, 2> kept_of;
  for (std::size_t h = 0; h < 2; ++h) {
    kept_of[h] = of_half(std::span<const KeptFrame>(frames_kept), static_cast<int>(h));
    if (kept_of[h].empty())
      return failed("all good frames fell into one half", recording.info().path.string(), "keep more frames");
    local[h].belong_as_in(readings_of(kept_of[h]));
  }
  if (!options.cuts.empty()) {
    HALFARC_TRY(stack.slices, accumulate_slices(recording, frames_kept, window, local, options, progress));
  }
  for (std::size_t h = 0; h < 2; ++h) {
    if (stack.slices.empty()) {
      HALFARC_TRY(stack.halves[h], accumulate_half(recording, kept_of[h], window, local[h], options, progress));
    } else {
      stack.halves[h] = mean_of_slices(stack.slices, static_cast<int>(h));
    }
  }
  HALFARC_TRY(AirLook air, look_at_air(recording, frames, aligner, window, local, options, progress));
  air.kept = static_cast<double>(stack.kept.size()) / static_cast<double>(frames.size());
  if (stack.local.left > 0.0) air.local_shift = {stack.local.left, kLocalShiftSpread * stack.local.left};
  stack.air.push_back(std::move(air));
  stack.seconds.accumulate = watch.lap();
  return stack;
}

}  // namespace halfarc
