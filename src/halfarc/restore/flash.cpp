#include "halfarc/restore/flash.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <mutex>
#include <optional>

#include "halfarc/restore/luminance.h"

namespace halfarc {
namespace {

constexpr int kCell = 4;                                    // pixels
constexpr int kRing = 2;                                    // cells from a cell to the ring it is compared with
constexpr std::size_t kMostValues = std::size_t{48} << 20;  // cells times stretches held at once
constexpr std::size_t kMostStretches = 4096;
constexpr std::size_t kLeastFrames = 64;
constexpr double kLongest = 3.0;       // seconds
constexpr double kMedianOver = 9.0;    // seconds, or a third of the run
constexpr double kFalseAlarms = 0.01;  // a run
constexpr double kAboveDips = 1.5;     // frames that happen to be sharp rise a little further than blurred ones dip
constexpr double kNeighbours = 0.35;   // of a flash's light must lie in the eight cells around its brightest
constexpr int kSameFlash = 8;          // cells
constexpr std::size_t kMostFlashes = 8;
constexpr double kSigmaOfMad = 1.4826;  // of a Gaussian

double median(std::vector<float>& values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return static_cast<double>(*middle);
}

// One sided: the deviation that a Gaussian exceeds with probability p. Source: asymptotic series of the normal tail,
// iterated; good to 0.5 % for p < 0.01.
double gaussian_quantile(double p) {
  double z = std::sqrt(-2.0 * std::log(p));
  for (int k = 0; k < 6; ++k) z = std::sqrt(-2.0 * std::log(p * z * 2.5066282746));
  return z;
}

// The light of every cell in every stretch of frames, by cell.
struct Series {
  int columns = 0, rows = 0;
  std::size_t stretches = 0, together = 1;
  std::vector<float> light;  // [cell][stretch], ADU a pixel

  float* of(int column, int row) { return light.data() + index(column, row); }
  const float* of(int column, int row) const { return light.data() + index(column, row); }
  std::size_t index(int column, int row) const { return static_cast<std::size_t>(row * columns + column) * stretches; }
};

Result<void> fill_stretch(const Recording& recording, std::span<const PixelOffset> shifts, const Window& window,
                          std::size_t stretch, Series& series) {
  const RecordingInfo& info = recording.info();
  Plane<std::byte> buffer(static_cast<int>(info.bytes_per_frame()), 1);
  Plane<float> grey(window.width, window.height);
  const std::size_t first = stretch * series.together;
  const std::size_t last = std::min(info.frames, first + series.together);
  for (std::size_t f = first; f < last; ++f) {
    HALFARC_CHECK(recording.read(f, 1, buffer.samples()));
    luminance(info, buffer.samples(), window, grey);
    const int dx = static_cast<int>(std::lround(shifts[f].x));
    const int dy = static_cast<int>(std::lround(shifts[f].y));
    const float share = 1.0F / static_cast<float>(kCell * kCell * static_cast<int>(last - first));
    for (int row = 0; row < series.rows; ++row) {
      for (int column = 0; column < series.columns; ++column) {
        float sum = 0.0F;
        for (int y = row * kCell; y < (row + 1) * kCell; ++y) {
          const float* line = grey.row(std::clamp(y + dy, 0, window.height - 1));
          for (int x = column * kCell; x < (column + 1) * kCell; ++x) {
            sum += line[std::clamp(x + dx, 0, window.width - 1)];
          }
        }
        series.of(column, row)[stretch] += share * sum;
      }
    }
  }
  return {};
}

Result<Series> collect(const Recording& recording, std::span<const PixelOffset> shifts, const Window& window,
                       Threads threads, Progress& progress) {
  Series series;
  series.columns = window.width / kCell;
  series.rows = window.height / kCell;
  const std::size_t cells = static_cast<std::size_t>(series.columns) * static_cast<std::size_t>(series.rows);
  const std::size_t most = std::clamp<std::size_t>(kMostValues / std::max<std::size_t>(1, cells), 32, kMostStretches);
  series.together = (recording.info().frames + most - 1) / most;
  series.stretches = recording.info().frames / series.together;  // a shorter last stretch would be noisier
  series.light.resize(cells * series.stretches);
  std::atomic<std::size_t> done{0};
  std::atomic<bool> stop{false};
  std::mutex mutex;
  std::optional<std::pair<std::size_t, Error>> first;
  parallel_for(series.stretches, threads, [&](std::size_t s) {
    if (stop) return;
    Result<void> outcome =
        progress.stop_requested() ? Result<void>(cancelled()) : fill_stretch(recording, shifts, window, s, series);
    if (!outcome) {
      stop = true;
      const std::lock_guard lock(mutex);
      if (!first || s < first->first) first.emplace(s, std::move(outcome).error());
    }
    progress.report("flashes", ++done, series.stretches);
  });
  if (first) return std::move(first->second);
  return series;
}

// A cell against the ring around it, and against its own median over some seconds.
std::vector<float> against_usual(const Series& series, int column, int row, std::size_t median_over) {
  std::vector<float> r(series.of(column, row), series.of(column, row) + series.stretches);
  float ring = 0.0F;
  for (int dy = -kRing; dy <= kRing; ++dy) {
    for (int dx = -kRing; dx <= kRing; ++dx) ring += std::max(std::abs(dx), std::abs(dy)) == kRing ? 1.0F : 0.0F;
  }
  for (int dy = -kRing; dy <= kRing; ++dy) {
    for (int dx = -kRing; dx <= kRing; ++dx) {
      if (std::max(std::abs(dx), std::abs(dy)) != kRing) continue;
      const float* other = series.of(column + dx, row + dy);
      for (std::size_t s = 0; s < r.size(); ++s) r[s] -= other[s] / ring;
    }
  }
  // Medians of blocks, joined by straight lines between their middles.
  const std::size_t blocks = std::max<std::size_t>(1, r.size() / std::max<std::size_t>(1, median_over));
  std::vector<double> level;
  for (std::size_t b = 0; b < blocks; ++b) {
    std::vector<float> part(r.begin() + static_cast<std::ptrdiff_t>(r.size() * b / blocks),
                            r.begin() + static_cast<std::ptrdiff_t>(r.size() * (b + 1) / blocks));
    level.push_back(median(part));
  }
  const double width = static_cast<double>(r.size()) / static_cast<double>(blocks);
  for (std::size_t s = 0; s < r.size(); ++s) {
    const double at = std::clamp((static_cast<double>(s) + 0.5) / width - 0.5, 0.0, static_cast<double>(blocks - 1));
    const std::size_t below = std::min(static_cast<std::size_t>(at), blocks - 1);
    const std::size_t above = std::min(below + 1, blocks - 1);
    r[s] -= static_cast<float>(level[below] + (at - static_cast<double>(below)) * (level[above] - level[below]));
  }
  return r;
}

struct Candidate {
  int column = 0, row = 0;
  std::size_t first = 0, stretches = 1;
  double excess = 0.0, sigma = 1.0;
  double z() const { return excess / sigma; }
};

// The best rise of one cell over all durations, and the depth of its deepest dip.
struct Extremes {
  std::vector<Candidate> rises;  // the best of each duration
  double dip = 0.0;
};

Extremes extremes_of(const std::vector<float>& r, int column, int row, std::size_t longest) {
  Extremes found;
  for (std::size_t length = 1; length <= longest; length *= 2) {
    std::vector<float> mean(r.size() - length + 1);
    double sum = 0.0;
    for (std::size_t s = 0; s < r.size(); ++s) {
      sum += static_cast<double>(r[s]);
      if (s + 1 < length) continue;
      mean[s + 1 - length] = static_cast<float>(sum / static_cast<double>(length));
      sum -= static_cast<double>(r[s + 1 - length]);
    }
    std::vector<float> size;
    for (const float v : mean) size.push_back(std::abs(v));
    const double sigma = std::max(1e-6, kSigmaOfMad * median(size));
    const auto [low, high] = std::minmax_element(mean.begin(), mean.end());
    found.dip = std::max(found.dip, -static_cast<double>(*low) / sigma);
    found.rises.push_back(
        {column, row, static_cast<std::size_t>(high - mean.begin()), length, static_cast<double>(*high), sigma});
  }
  return found;
}

// Light through a telescope spreads over the cells around; a hit on the sensor does not.
bool spreads(const Series& series, const Candidate& c, std::size_t median_over) {
  double around = 0.0;
  for (int dy = -1; dy <= 1; ++dy) {
    for (int dx = -1; dx <= 1; ++dx) {
      if (dx == 0 && dy == 0) continue;
      const std::vector<float> r = against_usual(series, c.column + dx, c.row + dy, median_over);
      for (std::size_t s = c.first; s < c.first + c.stretches; ++s) {
        around += static_cast<double>(r[s]) / static_cast<double>(c.stretches);
      }
    }
  }
  return around > kNeighbours * (around + c.excess);
}

}  // namespace

Result<FlashSearch> find_flashes(const Recording& recording, std::span<const PixelOffset> shifts, double frames_per_s,
                                 const Window& window, Threads threads, Progress& progress) {
  const std::size_t frames = recording.info().frames;
  if (frames < kLeastFrames || shifts.size() != frames) {
    return bad_input("only " + std::to_string(frames) + " frames: too few to tell a flash from the air",
                     recording.info().path.string(), "record at least " + std::to_string(kLeastFrames));
  }
  HALFARC_TRY(const Series series, collect(recording, shifts, window, threads, progress));
  const double a_second = std::max(1e-3, frames_per_s / static_cast<double>(series.together));
  const std::size_t third = std::max<std::size_t>(1, series.stretches / 3);
  const std::size_t median_over = std::clamp<std::size_t>(static_cast<std::size_t>(kMedianOver * a_second), 1, third);
  const std::size_t longest = std::clamp<std::size_t>(static_cast<std::size_t>(kLongest * a_second), 1,
                                                      std::max<std::size_t>(1, median_over / 3));

  constexpr int kBorder = kRing + 1;  // so that neighbours have rings of their own
  const int across = series.columns - 2 * kBorder;
  const int down = series.rows - 2 * kBorder;
  if (across < 1 || down < 1) return bad_input("the scene is too small to be searched", recording.info().path.string());
  std::vector<Extremes> cells(static_cast<std::size_t>(across) * static_cast<std::size_t>(down));
  parallel_for(cells.size(), threads, [&](std::size_t i) {
    const int column = kBorder + static_cast<int>(i) % across;
    const int row = kBorder + static_cast<int>(i) / across;
    cells[i] = extremes_of(against_usual(series, column, row, median_over), column, row, longest);
  });

  FlashSearch search;
  search.frames_looked = series.stretches * series.together;
  search.frames_together = series.together;
  std::vector<Candidate> rises;
  for (const Extremes& cell : cells) {
    search.deepest_dip = std::max(search.deepest_dip, cell.dip);
    rises.insert(rises.end(), cell.rises.begin(), cell.rises.end());
  }
  const double looks = static_cast<double>(rises.size()) * static_cast<double>(series.stretches);
  search.least = std::max(gaussian_quantile(kFalseAlarms / looks), kAboveDips * search.deepest_dip);
  std::stable_sort(rises.begin(), rises.end(), [](const Candidate& a, const Candidate& b) { return a.z() > b.z(); });
  std::vector<Candidate> told;
  for (const Candidate& c : rises) {
    if (c.z() < search.least || told.size() == kMostFlashes) break;
    const bool known = std::any_of(told.begin(), told.end(), [&](const Candidate& t) {
      // One flash is told once: a bright one shines in cells some way off, and in stretches of other lengths.
      const bool near = std::abs(t.column - c.column) <= kSameFlash && std::abs(t.row - c.row) <= kSameFlash;
      return near && c.first < t.first + t.stretches + longest && t.first < c.first + c.stretches + longest;
    });
    if (known) continue;
    told.push_back(c);  // a hit, too, so that its own neighbours are not looked at again
    if (!spreads(series, c, median_over)) continue;
    Flash flash;
    flash.first = c.first * series.together;
    flash.last = (c.first + c.stretches) * series.together - 1;
    flash.place =
        PixelPoint{window.x + kCell * c.column + 0.5 * (kCell - 1), window.y + kCell * c.row + 0.5 * (kCell - 1)} +
        shifts[flash.first];
    flash.excess = {c.excess, c.sigma};
    flash.significance = c.z();
    search.flashes.push_back(flash);
  }
  return search;
}

}  // namespace halfarc
