#include "halfarc/measure/cells.h"

#include <algorithm>
#include <limits>

namespace halfarc {
namespace {

constexpr float kSliver = kCell * kCell / 4.0F;  // samples

}  // namespace

Cells::Cells(int width, int height)
    : columns_((width + kCell - 1) / kCell),
      rows_((height + kCell - 1) / kCell),
      sums_(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_)),
      samples_(sums_.size()),
      all_samples_(sums_.size()),
      counts_(sums_.size()),
      means_(sums_.size()) {
  for (int y = 0; y < rows_; ++y) {
    const int tall = std::min(kCell, height - y * kCell);
    for (int x = 0; x < columns_; ++x) {
      const int wide = std::min(kCell, width - x * kCell);
      for (int site = 0; site < 4; ++site) {
        const int on_row = (tall + 1 - site / 2) / 2;
        const int on_column = (wide + 1 - site % 2) / 2;
        samples_[at(x, y)][static_cast<std::size_t>(site)] = static_cast<float>(on_row * on_column);
      }
      all_samples_[at(x, y)] = static_cast<float>(tall * wide);
    }
  }
  const float most = *std::max_element(all_samples_.begin(), all_samples_.end());
  for (std::size_t i = 0; i < counts_.size(); ++i) counts_[i] = all_samples_[i] >= std::min(kSliver, most) ? 1 : 0;
}

void Cells::average() {
  const std::size_t n = count();
  for (std::size_t i = 0; i < n; ++i) means_[i] = total(i) / all_samples_[i];
}

void background_cells(const Cells& cells, float noise, std::vector<float>& scratch, std::vector<std::size_t>& found) {
  const std::size_t n = cells.count();
  float lowest = std::numeric_limits<float>::max(), highest = std::numeric_limits<float>::lowest();
  for (std::size_t i = 0; i < n; ++i) {
    const float mean = cells.mean(i);
    lowest = std::min(lowest, cells.counts(i) ? mean : lowest);
    highest = std::max(highest, cells.counts(i) ? mean : highest);
  }

  // Of the lowest twentieth of the range (or as far as noise scatters) the lower quartile, which a halo hardly reaches,
  // and as much again above it.
  scratch.clear();
  const float low_range = lowest + std::max(0.05F * (highest - lowest), 7.0F * noise);
  for (std::size_t i = 0; i < n; ++i) {
    if (cells.counts(i) && cells.mean(i) <= low_range) scratch.push_back(cells.mean(i));
  }
  const auto quartile = scratch.begin() + static_cast<std::ptrdiff_t>(scratch.size() / 4);
  std::nth_element(scratch.begin(), quartile, scratch.end());
  const float ceiling = *quartile + (*quartile - lowest);
  found.clear();
  for (std::size_t i = 0; i < n; ++i) {
    if (cells.counts(i) && cells.mean(i) <= ceiling) found.push_back(i);
  }
}

CellGroup brightest_group(const Cells& cells, double background, double threshold, std::vector<int>& scratch) {
  constexpr int kUnseen = 0, kSeen = 1;
  const std::size_t n = cells.count();
  std::vector<int>& seen = scratch;
  seen.assign(2 * n, kUnseen);  // the second half is the stack of cells still to be visited
  int* stack = seen.data() + n;

  CellGroup best;
  for (std::size_t start = 0; start < n; ++start) {
    if (seen[start] != kUnseen || !(cells.mean(start) > threshold)) continue;
    CellGroup group{{cells.columns(), cells.rows(), 0, 0}, 0, 0.0};
    std::size_t waiting = 0;
    stack[waiting++] = static_cast<int>(start);
    seen[start] = kSeen;
    while (waiting > 0) {
      const int cell = stack[--waiting];
      const int x = cell % cells.columns(), y = cell / cells.columns();
      const auto i = static_cast<std::size_t>(cell);
      group.box = {std::min(group.box.x0, x), std::min(group.box.y0, y), std::max(group.box.x1, x + 1),
                   std::max(group.box.y1, y + 1)};
      group.cells += 1;
      group.excess += static_cast<double>(cells.total(i)) - background * static_cast<double>(cells.samples(i));
      for (int v = std::max(0, y - 1); v <= std::min(cells.rows() - 1, y + 1); ++v) {
        for (int u = std::max(0, x - 1); u <= std::min(cells.columns() - 1, x + 1); ++u) {
          const std::size_t j = cells.at(u, v);
          if (seen[j] != kUnseen || !(cells.mean(j) > threshold)) continue;
          seen[j] = kSeen;
          stack[waiting++] = static_cast<int>(j);
        }
      }
    }
    if (group.excess > best.excess) best = group;
  }
  return best;
}

}  // namespace halfarc
