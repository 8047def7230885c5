#include "halfarc/measure/index_frame.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <type_traits>
#include <vector>

#include "halfarc/frames/mosaic.h"
#include "halfarc/frames/plane.h"
#include "halfarc/measure/band_power.h"
#include "halfarc/measure/cells.h"

namespace halfarc {

class FrameIndexer::Worker {
 public:
  virtual ~Worker() = default;
  virtual FrameIndex index(std::span<const std::byte> frame) = 0;
};

namespace {

constexpr double kRampFoot = 0.15;  // of the disc's level
constexpr double kRampTop = 0.55;
constexpr double kNoiseGuard = 4.0;     // the foot of the ramp stays this many sigma above the background
constexpr float kRounding = 0.288675F;  // rms of rounding to whole numbers, 1 / sqrt(12)

// One grid of samples with up to four sites of its own: a mosaic or mono frame has one, an RGB frame three.
template <class T>
struct Layer {
  View<const T> samples;
  std::array<int, 4> colour{};  // of each site: 0 red, 1 green, 2 blue
};

using PixelBox = CellBox;  // in pixels

// Sums of a ramp over one site, in coordinates of whole pixels.
struct Moments {
  double sum = 0.0, x = 0.0, y = 0.0, xx = 0.0, yy = 0.0;

  void add(const Moments& o) {
    sum += o.sum;
    x += o.x;
    y += o.y;
    xx += o.xx;
    yy += o.yy;
  }
  PixelPoint centre() const { return {x / sum, y / sum}; }
};

template <class T>
class TypedWorker final : public FrameIndexer::Worker {
 public:
  TypedWorker(const RecordingInfo& info, KernelKind kind)
      : info_(info), kernels_(index_kernels<T>(kind)), band_(band_kernels(kind)), cells_(info.width, info.height) {
    const std::size_t width = static_cast<std::size_t>(info.width);
    even_.resize(width);
    odd_.resize(width);
    highest_.resize(width);
    strip_sums_.resize(3 * width);
    floors_.resize(2 * width);
    spans_.resize(2 * width);
    column_sums_.resize(2 * width);
    tops_.resize(static_cast<std::size_t>(cells_.columns()));
    layers_.resize(info.mosaic == Mosaic::rgb ? 3 : 1);
    if (info.mosaic == Mosaic::rgb) {
      for (auto& plane : planes_) plane = Plane<T>(info.width, info.height);
    } else if (std::is_floating_point_v<T>) {
      planes_[0] = Plane<T>(info.width, info.height);
    }
    // Readers promise whole numbers up to full scale; cameras that stop a little short of it still count.
    saturation_ = static_cast<T>(std::ceil(0.998 * info.full_scale()));
  }

  FrameIndex index(std::span<const std::byte> frame) override {
    lay_out({reinterpret_cast<const T*>(frame.data()), frame.size() / sizeof(T)});
    FrameIndex result;
    survey(result);
    find_background(result);
    const CellGroup group = find_object(result);
    if (group.cells == 0) return result;
    measure_object(group, result);
    return result;
  }

 private:
  using ColumnSum = std::conditional_t<std::is_floating_point_v<T>, double, std::uint32_t>;

  // What is taken from each site before the limb is located: min(max(sample - floor, 0), span).
  struct Ramp {
    T floor[4] = {};
    T span[4] = {};
  };

  // Layers -----------------------------------------------------------------------------------------

  void lay_out(std::span<const T> samples) {
    const int w = info_.width, h = info_.height;
    if (info_.mosaic == Mosaic::rgb) {
      for (int c = 0; c < 3; ++c) {
        T* out = planes_[static_cast<std::size_t>(c)].data();
        const std::size_t n = planes_[0].count();
        for (std::size_t i = 0; i < n; ++i) out[i] = usable(samples[3 * i + static_cast<std::size_t>(c)]);
        layers_[static_cast<std::size_t>(c)] = {planes_[static_cast<std::size_t>(c)].view(), {c, c, c, c}};
      }
      return;
    }
    layers_[0].samples = View<const T>(samples.data(), w, h);
    if constexpr (std::is_floating_point_v<T>) {
      std::transform(samples.begin(), samples.end(), planes_[0].data(), usable);
      layers_[0].samples = planes_[0].view();
    }
    for (int site = 0; site < 4; ++site) {
      layers_[0].colour[static_cast<std::size_t>(site)] =
          is_bayer(info_.mosaic) ? static_cast<int>(colour_at(info_.mosaic, site % 2, site / 2)) : 1;
    }
  }

  // A sample that is not a number, or too large for one, counts as none.
  static T usable(T sample) {
    if constexpr (std::is_floating_point_v<T>) {
      return std::abs(sample) < T(1e9) ? sample : T{};
    } else {
      return sample;
    }
  }

  // Pass one: the whole frame into cells

  void survey(FrameIndex& result) {
    cell_highest_.assign(static_cast<std::size_t>(cells_.columns() * cells_.rows()), T{});
    for (std::size_t i = 0; i < cells_.count(); ++i) cells_.sums(i) = {};
    for (const Layer<T>& layer : layers_) {
      for (int strip = 0; strip < cells_.rows(); ++strip) survey_strip(layer, strip, result);
    }
    cells_.average();
    result.fingerprint = fingerprint();
  }

  // Four chains, one a site, for a chain has to wait for itself.
  std::uint64_t fingerprint() const {
    std::array<std::uint64_t, 4> hash{1, 2, 3, 4};
    for (std::size_t i = 0; i < cells_.count(); ++i) {
      for (std::size_t s = 0; s < 4; ++s) {
        hash[s] = (hash[s] ^ std::bit_cast<std::uint32_t>(cells_.sums(i)[s])) * 0x100000001b3ULL;
      }
    }
    std::uint64_t all = 0xcbf29ce484222325ULL;
    for (const std::uint64_t h : hash) all = (all ^ h ^ (h >> 29)) * 0x100000001b3ULL;
    return all;
  }

  void survey_strip(const Layer<T>& layer, int strip, FrameIndex& result) {
    const int y0 = strip * kCell;
    const int w = info_.width;
    const Rows<T> rows{layer.samples.row(y0), layer.samples.stride(), w, std::min(kCell, info_.height - y0)};
    kernels_.columns(rows, even_.data(), odd_.data(), highest_.data());
    const std::size_t first = cells_.at(0, strip);
    kernels_.fold(even_.data(), odd_.data(), highest_.data(), w, cells_.sums(first).data(), tops_.data());
    T highest{};
    for (int c = 0; c < cells_.columns(); ++c) {
      T& top = cell_highest_[first + static_cast<std::size_t>(c)];
      top = std::max(top, tops_[static_cast<std::size_t>(c)]);
      highest = std::max(highest, top);
    }
    if (highest < saturation_) return;
    for (int y = 0; y < rows.count; ++y) {
      std::uint32_t counts[2];
      kernels_.count_high(rows.row(y), w, saturation_, counts);
      for (int parity = 0; parity < 2; ++parity) {
        const auto site = static_cast<std::size_t>(2 * (y % 2) + parity);
        result.saturated[static_cast<std::size_t>(layer.colour[site])] += counts[parity];
      }
    }
  }

  // Background, noise, object

  // Level of each site and rms of a sample, from the cells that show the sky.
  void find_background(FrameIndex& result) {
    // The noise of the darkest cells first: it tells how far the cells of an even sky scatter.
    background_cells(cells_, 0.0F, scratch_, sky_);
    const float cell_noise = noise(8) * std::sqrt(static_cast<float>(layers_.size())) / kCell;
    background_cells(cells_, cell_noise, scratch_, sky_);
    std::array<double, 4> sum{}, samples{};
    for (const std::size_t i : sky_) {
      for (std::size_t s = 0; s < 4; ++s) {
        sum[s] += static_cast<double>(cells_.sums(i)[s]);
        samples[s] += static_cast<double>(cells_.samples(i, static_cast<int>(s)));
      }
    }
    const double layers = static_cast<double>(layers_.size());
    double all = 0.0, count = 0.0;
    for (std::size_t s = 0; s < 4; ++s) {
      site_background_[s] = samples[s] > 0.0 ? sum[s] / (samples[s] * layers) : 0.0;
      all += sum[s];
      count += samples[s] * layers;
    }
    result.background = static_cast<float>(all / count);
    result.noise = noise(32);
  }

  // Sum over `count` samples of the squared difference to the sample two further on, in four chains.
  static float squared_differences(const T* row, int count) {
    float lanes[4] = {};
    int x = 0;
    for (; x + 4 <= count; x += 4) {
      for (int k = 0; k < 4; ++k) {
        const float d = static_cast<float>(row[x + k + 2]) - static_cast<float>(row[x + k]);
        lanes[k] += d * d;
      }
    }
    for (int k = 0; x < count; ++x, ++k) {
      const float d = static_cast<float>(row[x + 2]) - static_cast<float>(row[x]);
      lanes[k] += d * d;
    }
    return (lanes[0] + lanes[1]) + (lanes[2] + lanes[3]);
  }

  // From differences of samples two columns apart (of one colour) in up to `most` cells of sky spread over the frame.
  float noise(std::size_t most) const {
    double squares = 0.0, pairs = 0.0;
    const std::size_t step = std::max<std::size_t>(1, sky_.size() / most);
    for (std::size_t k = 0; k < sky_.size(); k += step) {
      const int x0 = static_cast<int>(sky_[k]) % cells_.columns() * kCell;
      const int y0 = static_cast<int>(sky_[k]) / cells_.columns() * kCell;
      const int x1 = std::min(info_.width, x0 + kCell), y1 = std::min(info_.height, y0 + kCell);
      for (const Layer<T>& layer : layers_) {
        for (int y = y0; y < y1; ++y) {
          const T* row = layer.samples.row(y);
          squares += static_cast<double>(squared_differences(row + x0, x1 - 2 - x0));
          pairs += std::max(0, x1 - 2 - x0);
        }
      }
    }
    const float rms = pairs > 0.0 ? static_cast<float>(std::sqrt(0.5 * squares / pairs)) : 0.0F;
    return std::is_floating_point_v<T> ? rms : std::max(rms, kRounding);
  }

  // Share of the border cells that are as bright as the object: above 0.7 of the mean of the cells that are brighter
  // than a quarter of the brightest. A surface runs over the border as bright as it is; the halo of a disc does not.
  // Where even the darkest cells are a tenth of full scale and 0.4 of the brightest, no sky is in sight: all of it is
  // lit.
  float lit_border(double background, double highest) const {
    if (background > 0.1 * info_.full_scale() && background > 0.4 * highest) return 1.0F;
    double sum = 0.0, count = 0.0;
    for (std::size_t i = 0; i < cells_.count(); ++i) {
      const double above = static_cast<double>(cells_.mean(i)) - background;
      if (above < 0.25 * (highest - background)) continue;
      sum += above;
      count += 1.0;
    }
    const double level = background + 0.7 * sum / std::max(1.0, count);
    int lit = 0, border = 0;
    for (int y = 0; y < cells_.rows(); ++y) {
      const bool whole_row = y == 0 || y == cells_.rows() - 1;
      for (int x = 0; x < cells_.columns(); x += whole_row ? 1 : std::max(1, cells_.columns() - 1)) {
        ++border;
        lit += static_cast<double>(cells_.mean(cells_.at(x, y))) > level ? 1 : 0;
      }
    }
    return static_cast<float>(lit) / static_cast<float>(border);
  }

  CellGroup find_object(FrameIndex& result) {
    const double layers = static_cast<double>(layers_.size());
    const double background = layers * static_cast<double>(result.background);
    float highest = 0.0F;
    for (std::size_t i = 0; i < cells_.count(); ++i) highest = std::max(highest, cells_.mean(i));
    const double cell_noise = static_cast<double>(result.noise) * std::sqrt(layers) / kCell;
    const double rise = std::max(6.0 * cell_noise, 0.02 * (static_cast<double>(highest) - background));
    CellGroup group = brightest_group(cells_, background, background + rise, stack_);
    result.lit_border = group.cells > 0 ? lit_border(background, static_cast<double>(highest)) : 0.0F;
    return group;
  }

  // Pass two: the object's box

  void measure_object(const CellGroup& group, FrameIndex& result) {
    const CellBox cells{std::max(0, group.box.x0 - 1), std::max(0, group.box.y0 - 1),
                        std::min(cells_.columns(), group.box.x1 + 1), std::min(cells_.rows(), group.box.y1 + 1)};
    const PixelBox box{cells.x0 * kCell, cells.y0 * kCell, std::min(info_.width, cells.x1 * kCell),
                       std::min(info_.height, cells.y1 * kCell)};
    double peak = 0.0;
    for (int y = cells.y0; y < cells.y1; ++y) {
      for (int x = cells.x0; x < cells.x1; ++x) {
        const std::size_t i = cells_.at(x, y);
        peak = std::max(peak, static_cast<double>(cell_highest_[i]));
        for (int s = 0; s < 4; ++s) {
          result.flux += static_cast<double>(cells_.sums(i)[static_cast<std::size_t>(s)]) -
                         static_cast<double>(layers_.size()) * site_background_[static_cast<std::size_t>(s)] *
                             static_cast<double>(cells_.samples(i, s));
        }
      }
    }
    result.peak = static_cast<float>(peak);

    std::array<Moments, 3> by_colour{};
    std::array<double, 3> area{}, level{};
    for (const Layer<T>& layer : layers_) measure_layer(layer, box, result.noise, by_colour, area, level);
    Moments all;
    for (const Moments& m : by_colour) all.add(m);
    if (!(all.sum > 0.0)) return;

    result.found = true;
    result.level = static_cast<float>(info_.mosaic == Mosaic::mono ? level[1] : (level[0] + level[1] + level[2]) / 3.0);
    result.centroid = all.centre();
    result.width_x = static_cast<float>(std::sqrt(std::max(0.0, all.xx / all.sum - std::pow(all.x / all.sum, 2))));
    result.width_y = static_cast<float>(std::sqrt(std::max(0.0, all.yy / all.sum - std::pow(all.y / all.sum, 2))));
    result.area = static_cast<float>(area[1] > 0.0 ? area[1] : std::max(area[0], area[2]));
    const auto from_green = [&](const Moments& m) {
      return m.sum > 0.0 && by_colour[1].sum > 0.0 ? m.centre() - by_colour[1].centre() : PixelOffset{};
    };
    result.red_minus_green = from_green(by_colour[0]);
    result.blue_minus_green = from_green(by_colour[2]);
    measure_band(box, result);
  }

  void measure_layer(const Layer<T>& layer, const PixelBox& box, float noise, std::array<Moments, 3>& by_colour,
                     std::array<double, 3>& area, std::array<double, 3>& level) {
    const std::array<double, 4> levels = site_levels(layer, box, noise);
    Ramp ramp;
    for (std::size_t s = 0; s < 4; ++s) {
      const double foot = std::max(kRampFoot * levels[s], kNoiseGuard * static_cast<double>(noise));
      const double span = (kRampTop - kRampFoot) * levels[s];
      ramp.floor[s] = as_sample(site_background_[s] + foot);
      ramp.span[s] = std::is_floating_point_v<T> ? static_cast<T>(span) : std::max(T{1}, as_sample(span));
    }
    const std::array<Moments, 4> moments = ramp_moments(layer, box, ramp);
    const bool mosaic = is_bayer(info_.mosaic);
    for (std::size_t s = 0; s < 4; ++s) {
      const auto colour = static_cast<std::size_t>(layer.colour[s]);
      const double sites = !mosaic ? 4.0 : colour == 1 ? 2.0 : 1.0;  // of this colour in a quad
      by_colour[colour].add(moments[s]);
      const double span = static_cast<double>(ramp.span[s]);
      if (span > 0.0) area[colour] += moments[s].sum / span * 4.0 / sites;
      level[colour] += levels[s] / sites;
    }
  }

  static T as_sample(double v) {
    if constexpr (std::is_floating_point_v<T>) {
      return static_cast<T>(v);
    } else {
      return static_cast<T>(std::clamp(std::lround(v), 0L, static_cast<long>(std::numeric_limits<T>::max())));
    }
  }

  // The typical height of each site above background: the mean of its samples weighted by themselves. Tall boxes are
  // sampled: every n-th pair of rows, so that about 12 pairs are looked at.
  std::array<double, 4> site_levels(const Layer<T>& layer, const PixelBox& box, float noise) const {
    std::array<double, 4> first{}, second{};
    const int pairs = (box.y1 - box.y0) / 2;
    const int step = std::max(1, pairs / 12);
    for (int pair = 0; pair < pairs; pair += step) {
      for (std::size_t parity = 0; parity < 2; ++parity) {
        const T* row = layer.samples.row(box.y0 + 2 * pair + static_cast<int>(parity)) + box.x0;
        const float sky[2] = {static_cast<float>(site_background_[2 * parity]),
                              static_cast<float>(site_background_[2 * parity + 1])};
        const float guard = static_cast<float>(kNoiseGuard) * noise;
        const float guards[2] = {sky[0] + guard, sky[1] + guard};
        float sums[4];
        kernels_.heights(row, box.x1 - box.x0, sky, guards, sums);
        for (std::size_t column = 0; column < 2; ++column) {
          first[2 * parity + column] += static_cast<double>(sums[column]);
          second[2 * parity + column] += static_cast<double>(sums[2 + column]);
        }
      }
    }
    std::array<double, 4> levels{};
    for (std::size_t s = 0; s < 4; ++s) levels[s] = first[s] > 0.0 ? second[s] / first[s] : 0.0;
    return levels;
  }

  std::array<Moments, 4> ramp_moments(const Layer<T>& layer, const PixelBox& box, const Ramp& ramp) {
    const int w = box.x1 - box.x0;
    for (int x = 0; x < w; ++x) {
      for (int parity = 0; parity < 2; ++parity) {
        const auto site = static_cast<std::size_t>(2 * parity + x % 2);
        const auto i = static_cast<std::size_t>(parity * w + x);
        floors_[i] = ramp.floor[site];
        spans_[i] = ramp.span[site];
        column_sums_[i] = {};
      }
    }
    std::array<Moments, 4> moments{};
    for (int y0 = box.y0; y0 < box.y1; y0 += kCell) {
      for (int parity = 0; parity < 2; ++parity) {
        const int count = (std::min(kCell, box.y1 - y0) + 1 - parity) / 2;
        if (count > 0) ramp_strip(layer, box, y0, parity, count, moments);
      }
    }
    for (int parity = 0; parity < 2; ++parity) {
      for (int x = 0; x < w; ++x) {
        Moments& m = moments[static_cast<std::size_t>(2 * parity + x % 2)];
        const auto value = static_cast<double>(column_sums_[static_cast<std::size_t>(parity * w + x)]);
        const double at = box.x0 + x;
        m.sum += value;
        m.x += value * at;
        m.xx += value * at * at;
      }
    }
    return moments;
  }

  // Eight rows of one parity: their column sums, and from the once and twice repeated sums the moments along y.
  void ramp_strip(const Layer<T>& layer, const PixelBox& box, int y0, int parity, int count,
                  std::array<Moments, 4>& moments) {
    const int w = box.x1 - box.x0;
    const auto wide = static_cast<std::size_t>(w);
    const auto offset = static_cast<std::size_t>(parity) * wide;
    const Rows<T> rows{layer.samples.row(y0 + parity) + box.x0, 2 * layer.samples.stride(), w, count};
    StripSum<T>* sums = strip_sums_.data();
    kernels_.ramp(rows, floors_.data() + offset, spans_.data() + offset, sums);
    for (std::size_t x = 0; x < wide; ++x) column_sums_[offset + x] += static_cast<ColumnSum>(sums[x]);

    RowSum<T> once[2], twice[2], thrice[2];
    kernels_.by_parity(sums, w, once);
    kernels_.by_parity(sums + w, w, twice);
    kernels_.by_parity(sums + 2 * w, w, thrice);
    for (int column = 0; column < 2; ++column) {
      // With m = count - k: twice = sum m v, thrice = sum m (m + 1) / 2 v. Row k lies at last - 2 m.
      const auto s0 = static_cast<double>(once[column]), s1 = static_cast<double>(twice[column]);
      const double s2 = 2.0 * static_cast<double>(thrice[column]) - s1;
      const double last = y0 + parity + 2 * count;
      Moments& m = moments[static_cast<std::size_t>(2 * parity + column)];
      m.y += last * s0 - 2.0 * s1;
      m.yy += last * last * s0 - 4.0 * last * s1 + 4.0 * s2;
    }
  }

  // Sharpness

  void measure_band(const PixelBox& box, FrameIndex& result) {
    const int wide = (box.x1 - box.x0) / 2, tall = (box.y1 - box.y0) / 2;
    quads_.resize(static_cast<std::size_t>(wide) * static_cast<std::size_t>(tall));
    for (std::size_t l = 0; l < layers_.size(); ++l) fill_quads(layers_[l], box, wide, tall, l > 0);
    const BandPower power = band_power(quads_, wide, tall, band_, boxes_);
    result.band_power = power.seen;
    result.noise_power = power.noise;
  }

  void fill_quads(const Layer<T>& layer, const PixelBox& box, int wide, int tall, bool add) {
    for (int y = 0; y < tall; ++y) {
      const T* above = layer.samples.row(box.y0 + 2 * y) + box.x0;
      const T* below = layer.samples.row(box.y0 + 2 * y + 1) + box.x0;
      float* out = quads_.data() + static_cast<std::ptrdiff_t>(y) * wide;
      if (!add) {
        kernels_.quads(above, below, wide, out);
        continue;
      }
      added_.resize(static_cast<std::size_t>(wide));
      kernels_.quads(above, below, wide, added_.data());
      for (int i = 0; i < wide; ++i) out[i] += added_[static_cast<std::size_t>(i)];
    }
  }

  RecordingInfo info_;
  const IndexKernels<T>& kernels_;
  const BandKernels& band_;
  T saturation_{};
  std::vector<Layer<T>> layers_;
  std::array<Plane<T>, 3> planes_;
  Cells cells_;
  std::vector<T> cell_highest_;  // highest sample of each cell
  std::array<double, 4> site_background_{};
  std::vector<std::size_t> sky_;
  std::vector<float> scratch_;
  std::vector<int> stack_;
  std::vector<StripSum<T>> even_, odd_;
  std::vector<T> highest_;
  std::vector<StripSum<T>> strip_sums_;  // one strip through the ramp, three sums (IndexKernels::ramp)
  std::vector<T> floors_, spans_, tops_;
  std::vector<ColumnSum> column_sums_;
  std::vector<float> quads_, boxes_, added_;
};

}  // namespace

FrameIndexer::FrameIndexer(const RecordingInfo& info, KernelKind kernels) {
  if (info.sample == Sample::u8) worker_ = std::make_unique<TypedWorker<std::uint8_t>>(info, kernels);
  if (info.sample == Sample::u16) worker_ = std::make_unique<TypedWorker<std::uint16_t>>(info, kernels);
  if (info.sample == Sample::f32) worker_ = std::make_unique<TypedWorker<float>>(info, kernels);
}

FrameIndexer::~FrameIndexer() = default;
FrameIndexer::FrameIndexer(FrameIndexer&&) noexcept = default;
FrameIndexer& FrameIndexer::operator=(FrameIndexer&&) noexcept = default;

FrameIndex FrameIndexer::operator()(std::span<const std::byte> frame) { return worker_->index(frame); }

}  // namespace halfarc
