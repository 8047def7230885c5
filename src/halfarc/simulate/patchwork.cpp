#include "halfarc/simulate/patchwork.h"

#include <algorithm>
#include <cmath>

namespace halfarc {
namespace {

constexpr double kOverlap = 0.5;  // of a patch's side

double rise(double t) {
  t = std::clamp(t, 0.0, 1.0);
  return t * t * (3.0 - 2.0 * t);
}

// A multiple of 8 with no prime factor above 5: transforms of other lengths fill the processor's registers badly, and
// one of 150 takes longer than one of 160.
int quick_size(double at_least) {
  int n = 8 * static_cast<int>(std::ceil(at_least / 8.0));
  const auto quick = [](int m) {
    for (const int prime : {2, 3, 5}) {
      while (m % prime == 0) m /= prime;
    }
    return m == 1;
  };
  while (!quick(n)) n += 8;
  return n;
}

double light_of(const Scene& scene) {
  double sum = 0.0;
  for (const float v : scene.cells[1].samples()) sum += static_cast<double>(v);
  sum /= scene.oversample * scene.oversample;
  for (const PointSource& point : scene.points) sum += static_cast<double>(point.light[1]);
  return sum;
}

bool dark(const Scene& scene) {
  for (const auto& plane : scene.cells) {
    if (std::any_of(plane.samples().begin(), plane.samples().end(), [](float v) { return v != 0.0F; })) return false;
  }
  return scene.points.empty();
}

}  // namespace

class Patchwork::Work {
 public:
  std::shared_ptr<LightTrain::Work> train;
  std::array<Plane<float>, 3> image;
};

double Patchwork::window(double coordinate, int size, int index, int count) {
  const double side = static_cast<double>(size) / count;
  const double overlap = kOverlap * side;
  // Borders lie between pixels: the frame begins half a pixel before its first.
  const double u = coordinate + 0.5;
  const double left = index == 0 ? 1.0 : rise((u - side * index) / overlap + 0.5);
  const double right = index == count - 1 ? 1.0 : 1.0 - rise((u - side * (index + 1)) / overlap + 0.5);
  return left * right;
}

Patchwork::Axis Patchwork::axis(int size, double patch_px, double spread_px) {
  Axis axis;
  axis.size = size;
  axis.count = std::max(1, static_cast<int>(std::lround(size / patch_px)));
  const double side = static_cast<double>(size) / axis.count;
  axis.reach = axis.count == 1 ? size : quick_size(side * (1.0 + kOverlap) + spread_px + 2.0);
  return axis;
}

double Patchwork::Axis::middle(int index) const { return size * (index + 0.5) / count - 0.5; }

int Patchwork::Axis::first(int index) const {
  return count == 1 ? 0 : 2 * static_cast<int>(std::lround(0.5 * (middle(index) - 0.5 * reach)));
}

Patchwork::Patchwork(const Instrument& instrument, const Scene& scene, Angle patch, Angle blur, Angle halo)
    : instrument_(instrument), frame_(scene.frame), blur_(blur), halo_(halo) {
  const double patch_px = frame_.scale.pixels(patch);
  // What the air throws farther than half of `blur`, a few percent, is folded back into the patch.
  const double spread_px = 2.0 * frame_.scale.pixels(spread_reach(instrument, blur * 0.5));
  x_ = axis(frame_.width, patch_px, spread_px);
  y_ = axis(frame_.height, patch_px, spread_px);
  if (x_.count > 1 || y_.count > 1) spread_px_ = quick_size(std::max(64.0, spread_px));
  show(scene);
}

Scene Patchwork::cut(const Scene& scene, int column, int row) const {
  const int k = scene.oversample;
  const int x0 = x_.first(column);
  const int y0 = y_.first(row);
  Scene part;
  part.frame = {x_.reach, y_.reach, frame_.scale};
  part.oversample = k;
  const auto place = [k](int cell) { return (cell - 0.5 * (k - 1)) / k; };  // of a cell, in pixels
  std::vector<float> across(static_cast<std::size_t>(x_.reach * k));
  for (int x = 0; x < x_.reach * k; ++x) {
    across[static_cast<std::size_t>(x)] = static_cast<float>(window(x0 + place(x), frame_.width, column, x_.count));
  }
  const int from = std::max(0, -x0 * k);
  const int to = std::min(x_.reach * k, (frame_.width - x0) * k);
  for (std::size_t c = 0; c < 3; ++c) {
    part.cells[c] = Plane<float>(x_.reach * k, y_.reach * k);
    for (int y = std::max(0, -y0 * k); y < std::min(y_.reach * k, (frame_.height - y0) * k); ++y) {
      const auto down = static_cast<float>(window(y0 + place(y), frame_.height, row, y_.count));
      if (down == 0.0F) continue;
      const float* in = scene.cells[c].row(y0 * k + y) + x0 * k;
      float* out = part.cells[c].row(y);
      for (int x = from; x < to; ++x) out[x] = in[x] * down * across[static_cast<std::size_t>(x)];
    }
  }
  for (PointSource point : scene.points) {
    const double share =
        window(point.place.x, frame_.width, column, x_.count) * window(point.place.y, frame_.height, row, y_.count);
    if (share == 0.0) continue;
    point.place = {point.place.x - x0, point.place.y - y0};
    for (float& l : point.light) l *= static_cast<float>(share);
    part.points.push_back(point);
  }
  return part;
}

void Patchwork::show(const Scene& scene) {
  std::vector<Patch> before = std::move(patches_);
  patches_.clear();
  const double all = std::max(1e-30, light_of(scene));
  for (int row = 0; row < y_.count; ++row) {
    for (int column = 0; column < x_.count; ++column) {
      const Scene part = cut(scene, column, row);
      if (dark(part)) continue;
      // Trains differ by their scene only: one that is there is quicker to copy than to make.
      const std::vector<Patch>& like = patches_.empty() ? before : patches_;
      LightTrain train = like.empty() ? LightTrain(instrument_, part, blur_, halo_, spread_px_) : like.front().train;
      if (!like.empty()) train.show(part);
      patches_.push_back({column, row, light_of(part) / all, std::move(train)});
    }
  }
}

std::shared_ptr<Patchwork::Work> Patchwork::make_work() const {
  auto work = std::make_shared<Work>();
  if (patches_.empty()) return work;
  work->train = patches_.front().train.make_work();
  for (auto& plane : work->image) plane = Plane<float>(x_.reach, y_.reach);
  return work;
}

std::vector<PixelPoint> Patchwork::places() const {
  std::vector<PixelPoint> places;
  for (const Patch& patch : patches_) places.push_back({x_.middle(patch.column), y_.middle(patch.row)});
  return places;
}

AirTruth Patchwork::expose(const Atmosphere& air, const Exposure& exposure, Work& work,
                           std::array<Plane<float>, 3>& image) const {
  for (auto& plane : image) std::fill(plane.samples().begin(), plane.samples().end(), 0.0F);
  AirTruth mean;
  const bool single = x_.count == 1 && y_.count == 1;
  for (const Patch& patch : patches_) {
    Exposure own = exposure;
    own.field = frame_.scale.sky(
        {x_.middle(patch.column) - centre_of(frame_.width), y_.middle(patch.row) - centre_of(frame_.height)});
    std::array<int, 3> left{};
    std::array<int, 3> top{};
    for (std::size_t c = 0; c < 3; ++c) {
      // Whole pixels of the shift move the patch, so that its light stays within its own frame.
      const int whole_x = single ? 0 : static_cast<int>(std::lround(frame_.scale.pixels(exposure.shift[c].x)));
      const int whole_y = single ? 0 : static_cast<int>(std::lround(frame_.scale.pixels(exposure.shift[c].y)));
      own.shift[c].x -= frame_.scale.angle(whole_x);
      own.shift[c].y -= frame_.scale.angle(whole_y);
      left[c] = x_.first(patch.column) + whole_x;
      top[c] = y_.first(patch.row) + whole_y;
      if (exposure.rows[c].step == 2) own.rows[c].first = (exposure.rows[c].first + top[c]) & 1;
    }
    const AirTruth truth = patch.train.expose(air, own, *work.train, work.image);
    mean.tilt_px = mean.tilt_px + truth.tilt_px * patch.light;
    mean.centroid_px = mean.centroid_px + truth.centroid_px * patch.light;
    mean.rms_nm += truth.rms_nm * patch.light;
    for (std::size_t c = 0; c < 3; ++c) {
      if (own.rows[c].step == 0) continue;
      const int from = std::max(0, -left[c]);
      const int to = std::min(x_.reach, frame_.width - left[c]);
      for (int y = own.rows[c].first; y < y_.reach; y += own.rows[c].step) {
        if (y + top[c] < 0 || y + top[c] >= frame_.height) continue;
        const float* in = work.image[c].row(y);
        float* out = image[c].row(y + top[c]) + left[c];
        for (int x = from; x < to; ++x) out[x] += in[x];
      }
    }
  }
  return mean;
}

}  // namespace halfarc
