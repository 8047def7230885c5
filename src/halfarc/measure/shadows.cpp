#include "halfarc/measure/shadows.h"

#include <Eigen/Dense>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>

#include "halfarc/frames/mosaic.h"
#include "halfarc/frames/plane.h"
#include "halfarc/frames/stream.h"

namespace halfarc {
namespace {

constexpr std::size_t kMostFrames = 100;
constexpr double kMostSamples = 6e7;  // read in all
constexpr int kSmallest = 96;         // pixels a side
constexpr std::size_t kMostShadows = 12;
constexpr double kStandsOut = 7.0;                        // scatters of the windows
constexpr std::array<int, 5> kWindows{3, 6, 12, 24, 48};  // squares of 2 x 2 pixels, a side
constexpr std::size_t kPlain = 2;                         // the window that fits a shadow 24 pixels wide
constexpr double kLargest = 0.1;                          // of the frame: more is no dust but a vignette
constexpr int kBlock = 8;                                 // squares a side: what the smooth light is fitted to
constexpr int kTerms = 10;                                // of a polynomial of the third degree in two variables

using Terms = Eigen::Matrix<double, kTerms, 1>;
Terms terms_at(double x, double y) {
  Terms t;
  t << 1.0, x, y, x * x, x * y, y * y, x * x * x, x * x * y, x * y * y, y * y * y;
  return t;
}

// The sum of the frames in squares of 2 x 2 pixels, which hold all colours of a mosaic.
template <class T>
void add_squares(const RecordingInfo& info, std::span<const T> samples, Plane<double>& sums) {
  const int per_pixel = samples_per_pixel(info.mosaic);
  const std::ptrdiff_t stride = static_cast<std::ptrdiff_t>(info.width) * per_pixel;
  for (int y = 0; y < 2 * sums.height(); ++y) {
    const T* row = samples.data() + y * stride;
    for (int x = 0; x < 2 * sums.width(); ++x)
      for (int c = 0; c < per_pixel; ++c) sums(x / 2, y / 2) += static_cast<double>(row[x * per_pixel + c]);
  }
}

Result<Plane<double>> sum_of_frames(const Recording& recording) {
  const RecordingInfo& info = recording.info();
  Plane<double> sums(info.width / 2, info.height / 2);
  const double samples = static_cast<double>(info.width) * info.height * samples_per_pixel(info.mosaic);
  const auto bearable = std::max<std::size_t>(10, static_cast<std::size_t>(kMostSamples / samples));
  const std::size_t frames = std::min({kMostFrames, bearable, info.frames});
  Plane<std::byte> buffer(static_cast<int>(info.bytes_per_frame()), 1);
  for (std::size_t f = 0; f < frames; ++f) {
    HALFARC_CHECK(recording.read(f * info.frames / frames, 1, buffer.samples()));
    visit_samples(info.sample, buffer.samples(),
                  [&]<class T>(std::span<const T> all) { add_squares<T>(info, all, sums); });
  }
  return sums;
}

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}
double scatter(const std::vector<double>& values) {
  std::vector<double> sizes;
  for (const double v : values) sizes.push_back(std::abs(v));
  return 1.4826 * median(std::move(sizes));  // of a normal distribution
}

// Turns light into its relative difference from the smooth light. Blocks that lie darker than the fit by three scatters
// are shadows, and left out of the next.
void flatten(Plane<double>& light) {
  struct Block {
    Terms terms;
    double level;
  };
  const auto at = [&](double x, double y) {
    return terms_at(2.0 * x / light.width() - 1.0, 2.0 * y / light.height() - 1.0);
  };
  std::vector<Block> blocks;
  for (int y = 0; y + kBlock <= light.height(); y += kBlock) {
    for (int x = 0; x + kBlock <= light.width(); x += kBlock) {
      double sum = 0.0;
      for (int v = 0; v < kBlock; ++v)
        for (int u = 0; u < kBlock; ++u) sum += light(x + u, y + v);
      blocks.push_back({at(x + kBlock / 2.0, y + kBlock / 2.0), sum / (kBlock * kBlock)});
    }
  }
  Terms smooth = Terms::Zero();
  double bound = -1e300;
  for (int round = 0; round < 6; ++round) {
    Eigen::Matrix<double, kTerms, kTerms> square = Eigen::Matrix<double, kTerms, kTerms>::Zero();
    Terms pull = Terms::Zero();
    for (const Block& b : blocks) {
      if (b.level - smooth.dot(b.terms) < bound) continue;
      square += b.terms * b.terms.transpose();
      pull += b.terms * b.level;
    }
    smooth = square.ldlt().solve(pull);
    std::vector<double> left;
    for (const Block& b : blocks) left.push_back(b.level - smooth.dot(b.terms));
    bound = -3.0 * scatter(left);
  }
  for (int y = 0; y < light.height(); ++y)
    for (int x = 0; x < light.width(); ++x) light(x, y) = light(x, y) / smooth.dot(at(x + 0.5, y + 0.5)) - 1.0;
}

// Means over square windows, by sums from the corner.
class Windows {
 public:
  explicit Windows(const Plane<double>& plane) : sums_(plane.width() + 1, plane.height() + 1) {
    for (int y = 0; y < plane.height(); ++y)
      for (int x = 0; x < plane.width(); ++x)
        sums_(x + 1, y + 1) = plane(x, y) + sums_(x, y + 1) + sums_(x + 1, y) - sums_(x, y);
  }
  // Over side x side squares, the first at (x, y).
  double mean(int x, int y, int side) const {
    return (sums_(x + side, y + side) - sums_(x, y + side) - sums_(x + side, y) + sums_(x, y)) / (side * side);
  }
  // About a square; smaller at the edges.
  double about(int x, int y, int reach) const {
    const int x0 = std::max(0, x - reach), x1 = std::min(sums_.width() - 1, x + reach + 1);
    const int y0 = std::max(0, y - reach), y1 = std::min(sums_.height() - 1, y + reach + 1);
    return (sums_(x1, y1) - sums_(x0, y1) - sums_(x1, y0) + sums_(x0, y0)) / ((x1 - x0) * (y1 - y0));
  }

 private:
  Plane<double> sums_;
};

struct Window {
  int x = 0, y = 0, side = 0;
  double clearness = 0.0;  // scatters below the smooth light
};

Window clearest(const Windows& windows, int width, int height, const std::array<double, kWindows.size()>& scatters) {
  Window best;
  for (std::size_t w = 0; w < kWindows.size(); ++w) {
    const int side = kWindows[w];
    for (int y = 0; y + side <= height; y += std::max(1, side / 6)) {
      for (int x = 0; x + side <= width; x += std::max(1, side / 6)) {
        const double clearness = -windows.mean(x, y, side) / scatters[w];
        if (clearness > best.clearness) best = {x, y, side, clearness};
      }
    }
  }
  return best;
}

// The scatter of independent windows.
double scatter_of(const Windows& windows, int width, int height, int side) {
  std::vector<double> means;
  for (int y = 0; y + side <= height; y += side)
    for (int x = 0; x + side <= width; x += side) means.push_back(windows.mean(x, y, side));
  return scatter(means);
}
std::array<double, kWindows.size()> scatters_of(const Windows& windows, int width, int height) {
  std::array<double, kWindows.size()> out{};
  for (std::size_t w = 0; w < kWindows.size(); ++w) out[w] = scatter_of(windows, width, height, kWindows[w]);
  return out;
}

struct Square {
  int x = 0, y = 0;
};

// The darkest square of a window in a light smoothing.
Square darkest_in(const Windows& windows, const Window& window, int reach) {
  Square darkest{window.x, window.y};
  for (int y = window.y; y < window.y + window.side; ++y)
    for (int x = window.x; x < window.x + window.side; ++x)
      if (windows.about(x, y, reach) < windows.about(darkest.x, darkest.y, reach)) darkest = {x, y};
  return darkest;
}

// The squares connected with a first one that are darker than a bound in a light smoothing.
std::vector<Square> region(const Windows& windows, Square first, double bound, int reach, int width, int height) {
  Plane<char> seen(width, height);
  std::vector<Square> squares{first};
  seen(first.x, first.y) = 1;
  for (std::size_t i = 0; i < squares.size(); ++i) {
    const Square s = squares[i];
    for (const Square n : {Square{s.x - 1, s.y}, {s.x + 1, s.y}, {s.x, s.y - 1}, {s.x, s.y + 1}}) {
      if (n.x < 0 || n.y < 0 || n.x >= width || n.y >= height || seen(n.x, n.y) != 0) continue;
      if (!(windows.about(n.x, n.y, reach) < bound)) continue;
      seen(n.x, n.y) = 1;
      squares.push_back(n);
    }
  }
  return squares;
}

// Down to half of the depth: that of the darkest square first, then that of the region found so, which noise deepens
// less.
std::vector<Square> half_depth(const Plane<double>& difference, const Windows& windows, const Window& window) {
  const int reach = std::max(1, window.side / 6), width = difference.width(), height = difference.height();
  const Square darkest = darkest_in(windows, window, reach);
  double depth = windows.about(darkest.x, darkest.y, reach);
  std::vector<Square> squares;
  for (int round = 0; round < 3; ++round) {
    squares = region(windows, darkest, 0.5 * depth, reach, width, height);
    std::vector<double> values;
    for (const Square& s : squares) values.push_back(difference(s.x, s.y));
    depth = median(std::move(values));
  }
  return squares;
}

// A region with the lighter middle that it encloses.
std::vector<Square> filled(const std::vector<Square>& squares) {
  int x0 = squares[0].x, x1 = x0, y0 = squares[0].y, y1 = y0;
  for (const Square& s : squares) {
    x0 = std::min(x0, s.x), x1 = std::max(x1, s.x);
    y0 = std::min(y0, s.y), y1 = std::max(y1, s.y);
  }
  // 1: dark; 2: reached from the margin round about.
  Plane<char> map(x1 - x0 + 3, y1 - y0 + 3);
  for (const Square& s : squares) map(s.x - x0 + 1, s.y - y0 + 1) = 1;
  std::vector<Square> outside{{0, 0}};
  map(0, 0) = 2;
  for (std::size_t i = 0; i < outside.size(); ++i) {
    const Square s = outside[i];
    for (const Square n : {Square{s.x - 1, s.y}, {s.x + 1, s.y}, {s.x, s.y - 1}, {s.x, s.y + 1}}) {
      if (n.x < 0 || n.y < 0 || n.x >= map.width() || n.y >= map.height() || map(n.x, n.y) != 0) continue;
      map(n.x, n.y) = 2;
      outside.push_back(n);
    }
  }
  std::vector<Square> all;
  for (int y = y0; y <= y1; ++y)
    for (int x = x0; x <= x1; ++x)
      if (map(x - x0 + 1, y - y0 + 1) != 2) all.push_back({x, y});
  return all;
}

// Mean and standard error of what eight sectors say; nothing when fewer than five hold anything.
class Sectors {
 public:
  void add(double dx, double dy, double value) {
    const double turn = std::atan2(dy, dx) / (2.0 * std::numbers::pi) + 0.5;
    const auto s = std::min<std::size_t>(7, static_cast<std::size_t>(turn * 8.0));
    sums_[s] += value;
    counts_[s] += 1.0;
  }
  std::optional<Measured<double>> mean() const {
    return of([](double sum, double count) { return sum / count; });
  }
  // Of a disc, a value for each of its squares.
  std::optional<Measured<double>> radius() const {
    return of([](double, double count) { return std::sqrt(8.0 * count / std::numbers::pi); });
  }

 private:
  template <class Pick>
  std::optional<Measured<double>> of(Pick pick) const {
    double n = 0.0, sum = 0.0, squares = 0.0;
    for (std::size_t s = 0; s < 8; ++s) {
      if (!(counts_[s] > 0.0)) continue;
      const double value = pick(sums_[s], counts_[s]);
      n += 1.0;
      sum += value;
      squares += value * value;
    }
    if (n < 5.0) return std::nullopt;
    return Measured<double>{sum / n, std::sqrt(std::max(0.0, squares - sum * sum / n) / (n * (n - 1.0)))};
  }
  std::array<double, 8> sums_{}, counts_{};
};

struct Found {
  Shadow shadow;
  double x = 0.0, y = 0.0, radius = 0.0;  // squares
};

std::optional<Found> measure(const Plane<double>& difference, const std::vector<Square>& dark, double noise) {
  Found f;
  const std::vector<Square> whole = filled(dark);
  for (const Square& s : whole) {
    f.x += s.x / static_cast<double>(whole.size());
    f.y += s.y / static_cast<double>(whole.size());
  }
  Sectors sectors;
  for (const Square& s : whole) sectors.add(s.x - f.x, s.y - f.y, 1.0);
  const auto radius = sectors.radius();
  if (!radius) return std::nullopt;
  f.radius = radius->value;
  // The rim is softened, and the median over the rest is that of the shadow's even part.
  std::vector<double> depths;
  for (const Square& s : dark)
    if (std::hypot(s.x - f.x, s.y - f.y) < 0.75 * f.radius) depths.push_back(-difference(s.x, s.y));
  if (depths.empty()) return std::nullopt;
  const double of_median = std::sqrt(0.5 * std::numbers::pi / static_cast<double>(depths.size()));
  const double depth = median(std::move(depths));
  Sectors around;
  const int far = static_cast<int>(std::ceil(2.4 * f.radius));
  for (int y = std::max(0, static_cast<int>(f.y) - far); y < std::min(difference.height(), static_cast<int>(f.y) + far);
       ++y) {
    for (int x = std::max(0, static_cast<int>(f.x) - far);
         x < std::min(difference.width(), static_cast<int>(f.x) + far); ++x) {
      const double r = std::hypot(x - f.x, y - f.y);
      if (r > 1.7 * f.radius && r < 2.4 * f.radius) around.add(x - f.x, y - f.y, difference(x, y));
    }
  }
  const auto level = around.mean();
  if (!level) return std::nullopt;
  f.shadow.place = {2.0 * f.x + 0.5, 2.0 * f.y + 0.5};
  f.shadow.diameter = {4.0 * f.radius, 4.0 * radius->sigma};
  f.shadow.loss = {depth + level->value, std::hypot(level->sigma, of_median * noise)};
  return f;
}

void blank(Plane<double>& difference, const Found& f) {
  for (int y = 0; y < difference.height(); ++y)
    for (int x = 0; x < difference.width(); ++x)
      if (std::hypot(x - f.x, y - f.y) < 1.6 * f.radius + 1.0) difference(x, y) = 0.0;
}

}  // namespace

Result<Shadows> shadows_on(const Recording& recording) {
  const RecordingInfo& info = recording.info();
  if (std::min(info.width, info.height) < kSmallest)
    return bad_input("the frame is too small to show shadows of dust", info.path.string());
  HALFARC_TRY(Plane<double> light, sum_of_frames(recording));
  if (!(median({light.samples().begin(), light.samples().end()}) > 0.0))
    return bad_input("the frames are dark", info.path.string());
  flatten(light);
  const int width = light.width(), height = light.height();
  const double noise = scatter({light.samples().begin(), light.samples().end()});
  const Windows windows_of_all(light);
  const auto scatters = scatters_of(windows_of_all, width, height);
  Shadows shadows;
  shadows.plain_loss = kStandsOut * scatters[kPlain];
  shadows.unevenness = scatter_of(windows_of_all, width, height, kBlock);
  if (!shadows.evenly_lit()) return shadows;
  Plane<double>& left = light;  // without the shadows that were measured
  while (shadows.found.size() < kMostShadows) {
    const Windows windows(left);
    const Window window = clearest(windows, width, height, scatters);
    if (!(window.clearness > kStandsOut)) break;
    const auto squares = half_depth(left, windows, window);
    if (static_cast<double>(squares.size()) > kLargest * width * height) break;
    const auto found = measure(light, squares, noise);
    if (!found) {
      for (const Square& s : squares) left(s.x, s.y) = 0.0;
      continue;
    }
    shadows.found.push_back(found->shadow);
    blank(left, *found);
  }
  std::sort(shadows.found.begin(), shadows.found.end(),
            [](const Shadow& a, const Shadow& b) { return a.loss.value > b.loss.value; });
  return shadows;
}

}  // namespace halfarc
