#include "halfarc/measure/index_frame.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <type_traits>
#include <vector>

#include "halfarc/frames/mosaic.h"
#include "halfarc/frames/plane.h"
#include "halfarc/measure/cells.h"

namespace halfarc {

class FrameIndexer::Worker {
 public:
  virtual ~Worker() = default;
  virtual FrameIndex index(std::span<const std::byte> frame) = 0;
};

namespace {

constexpr int kTallBox = 192;       // pixels: taller boxes have their sharpness taken on every third quad row
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

struct PixelBox {
  int x0 = 0, y0 = 0, x1 = 0, y1 = 0;
};

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
    row_sums_.resize(2 * kCell);
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
  // Layers ------------------------------------------------------------------------------------------------------------

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
  // --------------------------------------------------------------------------------

  void survey(FrameIndex& result) {
    strip_highest_.assign(static_cast<std::size_t>(cells_.columns() * cells_.rows()), T{});
    for (std::size_t i = 0; i < cells_.count(); ++i) cells_.sums(i) = {};
    for (const Layer<T>& layer : layers_) {
      for (int strip = 0; strip < cells_.rows(); ++strip) survey_strip(layer, strip, result);
    }
    std::uint64_t hash = 0xcbf29ce484222325ULL;
    for (std::size_t i = 0; i < cells_.count(); ++i) {
      for (const float sum : cells_.sums(i)) hash = (hash ^ std::bit_cast<std::uint32_t>(sum)) * 0x100000001b3ULL;
    }
    result.fingerprint = hash;
  }

  void survey_strip(const Layer<T>& layer, int strip, FrameIndex& result) {
    const int y0 = strip * kCell;
    const int w = info_.width;
    const Rows<T> rows{layer.samples.row(y0), layer.samples.stride(), w, std::min(kCell, info_.height - y0)};
    kernels_.columns(rows, even_.data(), odd_.data(), highest_.data());
    T highest{};
    for (int c = 0; c < cells_.columns(); ++c) {
      const std::size_t cell = cells_.at(c, strip);
      fold(c * kCell, std::min(w, (c + 1) * kCell), cells_.sums(cell), strip_highest_[cell]);
      highest = std::max(highest, strip_highest_[cell]);
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

  void fold(int x0, int x1, std::array<float, 4>& sums, T& highest) const {
    using Wide = std::conditional_t<std::is_same_v<T, float>, float, std::uint32_t>;
    Wide total[4] = {};
    T top = highest;
    if (x1 - x0 == kCell) {  // the usual case, at a length the compiler knows
      for (int k = 0; k < kCell / 2; ++k) {
        const auto i = static_cast<std::size_t>(x0 + 2 * k);
        total[0] += even_[i];
        total[1] += even_[i + 1];
        total[2] += odd_[i];
        total[3] += odd_[i + 1];
      }
      for (int k = 0; k < kCell; ++k) top = std::max(top, highest_[static_cast<std::size_t>(x0 + k)]);
    } else {
      for (int x = x0; x < x1; ++x) {
        const auto i = static_cast<std::size_t>(x);
        total[x % 2] += even_[i];
        total[2 + x % 2] += odd_[i];
        top = std::max(top, highest_[i]);
      }
    }
    for (std::size_t s = 0; s < 4; ++s) sums[s] += static_cast<float>(total[s]);
    highest = top;
  }

  // Background, noise, object
  // -----------------------------------------------------------------------------------------------

  // Level of each site and rms of a sample, from the cells that show the sky.
  void find_background(FrameIndex& result) {
    background_cells(cells_, scratch_, sky_);
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
    result.noise = noise();
  }

  // From differences of samples two columns apart (of one colour) in up to 32 cells of sky spread over the frame.
  float noise() const {
    constexpr std::size_t kMost = 32;
    double squares = 0.0, pairs = 0.0;
    const std::size_t step = std::max<std::size_t>(1, sky_.size() / kMost);
    for (std::size_t k = 0; k < sky_.size(); k += step) {
      const int x0 = static_cast<int>(sky_[k]) % cells_.columns() * kCell;
      const int y0 = static_cast<int>(sky_[k]) / cells_.columns() * kCell;
      const int x1 = std::min(info_.width, x0 + kCell), y1 = std::min(info_.height, y0 + kCell);
      for (const Layer<T>& layer : layers_) {
        for (int y = y0; y < y1; ++y) {
          const T* row = layer.samples.row(y);
          float sum = 0.0F;
          for (int x = x0; x < x1 - 2; ++x) {
            const float d = static_cast<float>(row[x + 2]) - static_cast<float>(row[x]);
            sum += d * d;
          }
          squares += static_cast<double>(sum);
          pairs += std::max(0, x1 - 2 - x0);
        }
      }
    }
    const float rms = pairs > 0.0 ? static_cast<float>(std::sqrt(0.5 * squares / pairs)) : 0.0F;
    return std::is_floating_point_v<T> ? rms : std::max(rms, kRounding);
  }

  CellGroup find_object(FrameIndex& result) {
    const double layers = static_cast<double>(layers_.size());
    const double background = layers * static_cast<double>(result.background);
    float highest = 0.0F;
    for (std::size_t i = 0; i < cells_.count(); ++i) highest = std::max(highest, cells_.mean(i));
    const double cell_noise = static_cast<double>(result.noise) * std::sqrt(layers) / kCell;
    const double rise = std::max(6.0 * cell_noise, 0.02 * (static_cast<double>(highest) - background));
    CellGroup group = brightest_group(cells_, background, background + rise, stack_);
    const int border = 2 * (cells_.columns() + cells_.rows()) - 4;
    result.lit_border = static_cast<float>(group.on_border) / static_cast<float>(std::max(1, border));
    return group;
  }

  // Pass two: the object's box
  // --------------------------------------------------------------------------------------------

  void measure_object(const CellGroup& group, FrameIndex& result) {
    const CellBox cells{std::max(0, group.box.x0 - 1), std::max(0, group.box.y0 - 1),
                        std::min(cells_.columns(), group.box.x1 + 1), std::min(cells_.rows(), group.box.y1 + 1)};
    const PixelBox box{cells.x0 * kCell, cells.y0 * kCell, std::min(info_.width, cells.x1 * kCell),
                       std::min(info_.height, cells.y1 * kCell)};
    double peak = 0.0;
    for (int y = cells.y0; y < cells.y1; ++y) {
      for (int x = cells.x0; x < cells.x1; ++x) {
        const std::size_t i = cells_.at(x, y);
        peak = std::max(peak, static_cast<double>(strip_highest_[i]));
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
    Ramp<T> ramp;
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
  // sampled: every n-th pair of rows, so that at most 64 pairs are looked at.
  std::array<double, 4> site_levels(const Layer<T>& layer, const PixelBox& box, float noise) const {
    std::array<double, 4> first{}, second{};
    const int pairs = (box.y1 - box.y0 + 1) / 2;
    const int step = std::max(1, pairs / 64);
    for (int pair = 0; pair < pairs; pair += step) {
      for (int parity = 0; parity < 2; ++parity) {
        const int y = box.y0 + 2 * pair + parity;
        if (y >= box.y1) continue;
        const T* row = layer.samples.row(y);
        for (int column = 0; column < 2; ++column) {
          const auto site = static_cast<std::size_t>(2 * parity + column);
          const float guard = static_cast<float>(site_background_[site]) + static_cast<float>(kNoiseGuard) * noise;
          const float sky = static_cast<float>(site_background_[site]);
          float sum = 0.0F, squares = 0.0F;
          for (int x = box.x0 + column; x < box.x1; x += 2) {
            const float v = static_cast<float>(row[x]);
            const float above = v > guard ? v - sky : 0.0F;
            sum += above;
            squares += above * above;
          }
          first[site] += static_cast<double>(sum);
          second[site] += static_cast<double>(squares);
        }
      }
    }
    std::array<double, 4> levels{};
    for (std::size_t s = 0; s < 4; ++s) levels[s] = first[s] > 0.0 ? second[s] / first[s] : 0.0;
    return levels;
  }

  std::array<Moments, 4> ramp_moments(const Layer<T>& layer, const PixelBox& box, const Ramp<T>& ramp) {
    const int w = box.x1 - box.x0;
    column_sums_.assign(static_cast<std::size_t>(2 * w), 0.0);
    std::array<Moments, 4> moments{};
    for (int y0 = box.y0; y0 < box.y1; y0 += kCell) {
      const Rows<T> rows{layer.samples.row(y0) + box.x0, layer.samples.stride(), w, std::min(kCell, box.y1 - y0)};
      kernels_.ramp(rows, ramp, even_.data(), odd_.data(), row_sums_.data());
      for (int x = 0; x < w; ++x) {
        const auto i = static_cast<std::size_t>(x);
        column_sums_[i] += static_cast<double>(even_[i]);
        column_sums_[i + static_cast<std::size_t>(w)] += static_cast<double>(odd_[i]);
      }
      for (int y = 0; y < rows.count; ++y) {
        for (int parity = 0; parity < 2; ++parity) {
          Moments& m = moments[static_cast<std::size_t>(2 * (y % 2) + parity)];
          const double value = static_cast<double>(row_sums_[static_cast<std::size_t>(2 * y + parity)]);
          const double at = y0 + y;
          m.y += value * at;
          m.yy += value * at * at;
        }
      }
    }
    for (int row = 0; row < 2; ++row) {
      for (int x = 0; x < w; ++x) {
        Moments& m = moments[static_cast<std::size_t>(2 * row + x % 2)];
        const double value = column_sums_[static_cast<std::size_t>(row * w + x)];
        const double at = box.x0 + x;
        m.sum += value;
        m.x += value * at;
        m.xx += value * at * at;
      }
    }
    return moments;
  }

  // Sharpness
  // ---------------------------------------------------------------------------------------------------------------

  void measure_band(const PixelBox& box, FrameIndex& result) {
    const int wide = (box.x1 - box.x0) / 2, tall = (box.y1 - box.y0) / 2;
    const int step = box.y1 - box.y0 > kTallBox ? 3 : 1;
    const int box_rows = (tall - 2) / step;
    if (wide < 9 || box_rows < 7) return;
    quads_.resize(static_cast<std::size_t>(wide) * static_cast<std::size_t>(tall));
    boxes_.resize(static_cast<std::size_t>(wide) * static_cast<std::size_t>(box_rows));
    for (std::size_t l = 0; l < layers_.size(); ++l) fill_quads(layers_[l], box, wide, tall, l > 0);

    const auto row = [wide](std::vector<float>& rows, int y) {
      return rows.data() + static_cast<std::ptrdiff_t>(y) * wide;
    };
    for (int k = 0; k < box_rows; ++k) {
      band_.boxes(row(quads_, k * step), row(quads_, k * step + 1), row(quads_, k * step + 2), wide, row(boxes_, k));
    }
    const int reach = 3 / step;  // box rows to the next box that touches
    double band = 0.0;
    int rows = 0;
    for (int k = reach; k < box_rows - reach; ++k, ++rows) {
      band += static_cast<double>(band_.contrast(row(boxes_, k - reach), row(boxes_, k), row(boxes_, k + reach), wide));
    }
    double diagonal = 0.0;
    int diagonal_rows = 0;
    for (int y = 0; y + 1 < tall; y += 4, ++diagonal_rows) {
      diagonal += static_cast<double>(band_.diagonal(row(quads_, y), row(quads_, y + 1), wide));
    }
    // A box holds 9 quads, and the comparison weighs it 4 : -1 -1 -1 -1, so the noise of a quad enters 9 (16 + 4)
    // times; the diagonal difference holds it 4 times. In units of a quad's own sum: divide by (4 x 9)^2.
    constexpr double kUnit = 36.0 * 36.0;
    constexpr double kNoiseGain = 180.0 / 4.0;
    result.band_power = static_cast<float>(band * static_cast<double>(tall) / rows / kUnit);
    result.noise_power = static_cast<float>(diagonal * static_cast<double>(tall) / diagonal_rows * kNoiseGain / kUnit);
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
  std::vector<T> strip_highest_;  // highest sample of each cell
  std::array<double, 4> site_background_{};
  std::vector<std::size_t> sky_;
  std::vector<float> scratch_;
  std::vector<int> stack_;
  std::vector<StripSum<T>> even_, odd_;
  std::vector<T> highest_;
  std::vector<float> row_sums_;
  std::vector<double> column_sums_;
  std::vector<float> quads_, boxes_, added_;
};

}  // namespace

FrameIndexer::FrameIndexer(const RecordingInfo& info, KernelKind kernels) {
  switch (info.sample) {
    case Sample::u8:
      worker_ = std::make_unique<TypedWorker<std::uint8_t>>(info, kernels);
      break;
    case Sample::u16:
      worker_ = std::make_unique<TypedWorker<std::uint16_t>>(info, kernels);
      break;
    case Sample::f32:
      worker_ = std::make_unique<TypedWorker<float>>(info, kernels);
      break;
  }
}

FrameIndexer::~FrameIndexer() = default;
FrameIndexer::FrameIndexer(FrameIndexer&&) noexcept = default;
FrameIndexer& FrameIndexer::operator=(FrameIndexer&&) noexcept = default;

FrameIndex FrameIndexer::operator()(std::span<const std::byte> frame) { return worker_->index(frame); }

}  // namespace halfarc
