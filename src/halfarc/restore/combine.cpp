#include "halfarc/restore/combine.h"

#include <algorithm>
#include <string>
#include <utility>

#include "halfarc/restore/colour_align.h"

namespace halfarc {
namespace {

constexpr std::size_t kGreen = static_cast<std::size_t>(Colour::green);

Spectrum green_of(const Stack& stack) {
  Spectrum sum = spectrum_of(stack.halves[0].planes[kGreen]);
  const Spectrum other = spectrum_of(stack.halves[1].planes[kGreen]);
  for (std::size_t i = 0; i < sum.values.count(); ++i) sum.values.samples()[i] += other.values.samples()[i];
  return sum;
}

void blend(Plane<float>& into, const Plane<float>& more, float share) {
  for (std::size_t i = 0; i < into.count(); ++i) into.samples()[i] += share * (more.samples()[i] - into.samples()[i]);
}

}  // namespace

void join_records(Stack& total, Stack& run) {
  for (AirLook& look : run.air) total.air.push_back(std::move(look));
  total.kept.insert(total.kept.end(), run.kept.begin(), run.kept.end());
  total.candidates += run.candidates;
  if (run.local.undone > total.local.undone) total.local = run.local;
  total.seconds.align += run.seconds.align;
  total.seconds.select += run.seconds.select;
  total.seconds.accumulate += run.seconds.accumulate;
}

Result<Stack> combine_stacks(std::vector<Stack> stacks) {
  Stack total = std::move(stacks.front());
  const Spectrum reference = green_of(total);
  std::size_t frames = total.kept.size();
  for (std::size_t r = 1; r < stacks.size(); ++r) {
    Stack& run = stacks[r];
    const std::string which = "run " + std::to_string(r + 1);
    if (run.window.width != total.window.width || run.window.height != total.window.height) {
      return bad_input("its window differs from that of the first run", which,
                       "make an image of runs of the same size");
    }
    const double reach = 0.45 * std::min(run.window.width, run.window.height);
    const ColourOffset offset = colour_offset(reference, green_of(run), reach);
    if (!offset.found) {
      return bad_input("shows nothing that the first run shows", which, "make an image of runs of the same target");
    }
    frames += run.kept.size();
    const float share = static_cast<float>(run.kept.size()) / static_cast<float>(frames);
    for (std::size_t h = 0; h < 2; ++h) {
      for (std::size_t c = 0; c < 3; ++c) {
        if (total.halves[h].planes[c].empty()) continue;
        blend(total.halves[h].planes[c], moved_by(run.halves[h].planes[c], -offset.offset), share);
      }
    }
    join_records(total, run);
  }
  return total;
}

}  // namespace halfarc
