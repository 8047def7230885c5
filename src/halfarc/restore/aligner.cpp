#include "halfarc/restore/aligner.h"

#include <algorithm>
#include <utility>

#include "halfarc/restore/colour_align.h"
#include "halfarc/restore/luminance.h"

namespace halfarc {
namespace {

constexpr std::size_t kLeastFrames = 4;
constexpr int kReferenceRounds = 3;

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

}  // namespace

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

Aligner::Aligner(const Recording& recording, const Window& window, std::vector<HalfReference> references,
                 std::size_t stretch, double reach)
    : recording_(recording), window_(window), references_(std::move(references)), stretch_(stretch), reach_(reach) {
  between_ = colour_offset(references_[0].reference.spectrum(), references_[1].reference.spectrum()).offset;
}

Result<AlignedFrame> Aligner::place(const GradedFrame& frame, FrameReader& reader) const {
  const std::size_t h = frame.number / stretch_ % 2;
  HALFARC_TRY(const Spectrum spectrum, luminance_spectrum(recording_, reader, frame.number, window_));
  const Registration found = references_[h].reference.find(spectrum, frame.place - references_[h].place, reach_);
  const PixelOffset shift = h == 1 ? found.shift + between_ : found.shift;
  return AlignedFrame{frame.number, static_cast<int>(h), shift, found.likeness};
}

Plane<float> Aligner::reference(std::size_t half) const {
  const Plane<float> own = picture_of(references_[half].reference.spectrum());
  return half == 1 ? moved_by(own, -between_) : own.copy();
}

}  // namespace halfarc
