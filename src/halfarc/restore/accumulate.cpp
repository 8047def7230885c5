#include "halfarc/restore/accumulate.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "halfarc/frames/stream.h"

namespace halfarc {
namespace {

// Where the samples of one row of one colour begin, and how far apart they are.
struct Sites {
  int first_x;
  int step;
};

// A whole-pixel part and a bilinear rest of a shift along one axis.
struct Split {
  int whole;
  float rest;
};

Split split(double shift) {
  const double whole = std::floor(shift);
  return {static_cast<int>(whole), static_cast<float>(shift - whole)};
}

// Shares the samples of one row between two neighbouring columns of one output row.
template <class T>
void share_row(const T* samples, int count, int sample_stride, float* sum, float* weight, int step, float left,
               float right) {
  for (int i = 0; i < count; ++i) {
    const float value = static_cast<float>(samples[i * sample_stride]);
    float* s = sum + i * step;
    float* w = weight + i * step;
    s[0] += left * value;
    s[1] += right * value;
    w[0] += left;
    w[1] += right;
  }
}

// The output columns of the sites first, first + step, ... that lie inside [0, width).
struct Columns {
  int skip;   // sites to leave out on the left
  int count;  // sites that fit
};

Columns columns_inside(int first_output, int sites, int step, int width) {
  const int skip = first_output < 0 ? (-first_output + step - 1) / step : 0;
  const int last = width - 1 - first_output;  // largest admissible site offset
  const int fit = last < 0 ? 0 : last / step + 1;
  return {skip, std::max(0, std::min(sites, fit) - skip)};
}

// The field along one row of the reference: linear between its nodes.
class FieldRow {
 public:
  FieldRow(const ShiftField& field, double y) : spacing_(field.spacing) {
    const double down = std::clamp(y / field.spacing, 0.0, static_cast<double>(field.x.height() - 1));
    const int above = static_cast<int>(down), below = std::min(above + 1, field.x.height() - 1);
    const auto part = static_cast<float>(down - above);
    for (int i = 0; i < field.x.width(); ++i) {
      nodes_.push_back({(1.0F - part) * field.x(i, above) + part * field.x(i, below),
                        (1.0F - part) * field.y(i, above) + part * field.y(i, below)});
    }
  }
  struct Shift {
    float x, y;
  };
  Shift at(float x) const {
    const float across = std::clamp(x / static_cast<float>(spacing_), 0.0F, static_cast<float>(nodes_.size() - 1));
    const auto left = static_cast<std::size_t>(across), right = std::min(left + 1, nodes_.size() - 1);
    const float part = across - static_cast<float>(left);
    return {nodes_[left].x + part * (nodes_[right].x - nodes_[left].x),
            nodes_[left].y + part * (nodes_[right].y - nodes_[left].y)};
  }

 private:
  int spacing_;
  std::vector<Shift> nodes_;
};

// Shares one sample between the four grid points about (x, y); nothing of it where that leaves the planes.
void share_sample(float value, float x, float y, Plane<float>& sum, Plane<float>& weight) {
  const int left = static_cast<int>(std::floor(x)), above = static_cast<int>(std::floor(y));
  const float across = x - static_cast<float>(left), down = y - static_cast<float>(above);
  if (left < 0 || left + 1 >= sum.width()) return;  // one spare column takes what falls on the last one
  for (int below = 0; below < 2; ++below) {
    if (above + below < 0 || above + below >= sum.height()) continue;
    const float share = below == 0 ? 1.0F - down : down;
    float* s = sum.row(above + below) + left;
    float* w = weight.row(above + below) + left;
    s[0] += share * (1.0F - across) * value;
    s[1] += share * across * value;
    w[0] += share * (1.0F - across);
    w[1] += share * across;
  }
}

void fill_uncovered(Plane<float>& mean, const Plane<float>& weight, std::size_t& uncovered) {
  const int w = mean.width();
  const int h = mean.height();
  for (int y = 0; y < h; ++y) {
    for (int x = 0; x < w; ++x) {
      if (weight(x, y) > 0.0F) continue;
      ++uncovered;
      for (int reach = 1; reach < std::max(w, h); ++reach) {
        float sum = 0.0F;
        float total = 0.0F;
        for (int dy = -reach; dy <= reach; ++dy) {
          for (int dx = -reach; dx <= reach; ++dx) {
            if (std::max(std::abs(dx), std::abs(dy)) != reach || !mean.view().contains(x + dx, y + dy)) continue;
            if (const float there = weight(x + dx, y + dy); there > 0.0F) {
              sum += there * mean(x + dx, y + dy);
              total += there;
            }
          }
        }
        if (total > 0.0F) {
          mean(x, y) = sum / total;
          break;
        }
      }
    }
  }
}

}  // namespace

Accumulator::Accumulator(const RecordingInfo& info, const Window& window) : window_(window) {
  for (std::size_t c = 0; c < 3; ++c) {
    if (info.mosaic == Mosaic::mono && c != static_cast<std::size_t>(Colour::green)) continue;
    // One spare column takes the right-hand share of samples that fall on the last one.
    sum_[c] = Plane<float>(window.width + 1, window.height);
    weight_[c] = Plane<float>(window.width + 1, window.height);
  }
}

void Accumulator::add(const RecordingInfo& info, std::span<const std::byte> frame, PixelOffset shift, float weight) {
  const Split dx = split(-shift.x);
  const Split dy = split(-shift.y);
  visit_samples(info.sample, frame, [&](auto samples) {
    // One row of sites of one colour: the frame's row `y`, shared between the output rows below and above.
    const auto place = [&](int y, Colour colour, Sites sites, int sample_stride, int sample_offset) {
      Plane<float>& sum = sum_[static_cast<std::size_t>(colour)];
      Plane<float>& total = weight_[static_cast<std::size_t>(colour)];
      const int spread = samples_per_pixel(info.mosaic);
      const auto* row = samples.data() + static_cast<std::ptrdiff_t>(y) * info.width * spread;
      const int site_count = (info.width - sites.first_x + sites.step - 1) / sites.step;
      const int first_output = sites.first_x - window_.x + dx.whole;
      const Columns columns = columns_inside(first_output, site_count, sites.step, window_.width);
      if (columns.count == 0) return;
      const auto* from = row + (sites.first_x + columns.skip * sites.step) * spread + sample_offset;
      const int to_x = first_output + columns.skip * sites.step;
      for (int below = 0; below < 2; ++below) {
        const int to_y = y - window_.y + dy.whole + below;
        if (to_y < 0 || to_y >= window_.height) continue;
        const float share = weight * (below == 0 ? 1.0F - dy.rest : dy.rest);
        share_row(from, columns.count, sample_stride, sum.row(to_y) + to_x, total.row(to_y) + to_x, sites.step,
                  share * (1.0F - dx.rest), share * dx.rest);
      }
    };
    const int first_y = std::max(0, window_.y - dy.whole - 1);
    const int last_y = std::min(info.height - 1, window_.y + window_.height - dy.whole);
    for (int y = first_y; y <= last_y; ++y) {
      if (info.mosaic == Mosaic::mono) {
        place(y, Colour::green, {0, 1}, 1, 0);
      } else if (info.mosaic == Mosaic::rgb) {
        for (int c = 0; c < 3; ++c) place(y, static_cast<Colour>(c), {0, 1}, 3, c);
      } else {
        for (int x = 0; x < 2; ++x) place(y, colour_at(info.mosaic, x, y), {x, 2}, 2, 0);
      }
    }
  });
}

void Accumulator::add(const RecordingInfo& info, std::span<const std::byte> frame, PixelOffset shift,
                      const ShiftField& field) {
  if (field.empty()) return add(info, frame, shift);
  constexpr int reach = 8;  // rows beyond the window from which a field may fetch
  const int spread = samples_per_pixel(info.mosaic);
  const int first_y = std::max(0, window_.y + static_cast<int>(std::floor(shift.y)) - reach);
  const int end_y = std::min(info.height, window_.y + window_.height + static_cast<int>(std::ceil(shift.y)) + reach);
  const int first_x = std::max(0, window_.x + static_cast<int>(std::floor(shift.x)) - reach);
  const int end_x = std::min(info.width, window_.x + window_.width + static_cast<int>(std::ceil(shift.x)) + reach);
  visit_samples(info.sample, frame, [&](auto samples) {
    for (int y = first_y; y < end_y; ++y) {
      const double whole_y = y - window_.y - shift.y;
      const FieldRow row(field, whole_y);
      const auto* from = samples.data() + static_cast<std::ptrdiff_t>(y) * info.width * spread;
      for (int x = first_x; x < end_x; ++x) {
        const auto whole_x = static_cast<float>(x - window_.x - shift.x);
        const FieldRow::Shift local = row.at(whole_x);
        const float to_x = whole_x - local.x, to_y = static_cast<float>(whole_y) - local.y;
        if (info.mosaic == Mosaic::rgb) {
          for (std::size_t c = 0; c < 3; ++c) {
            share_sample(static_cast<float>(from[3 * x + static_cast<int>(c)]), to_x, to_y, sum_[c], weight_[c]);
          }
          continue;
        }
        const Colour colour = info.mosaic == Mosaic::mono ? Colour::green : colour_at(info.mosaic, x & 1, y & 1);
        const auto c = static_cast<std::size_t>(colour);
        share_sample(static_cast<float>(from[x]), to_x, to_y, sum_[c], weight_[c]);
      }
    }
  });
}

void Accumulator::join(const Accumulator& other) {
  for (std::size_t c = 0; c < 3; ++c) {
    const auto add_to = [](std::span<float> to, std::span<const float> from) {
      for (std::size_t i = 0; i < to.size(); ++i) to[i] += from[i];
    };
    add_to(sum_[c].samples(), other.sum_[c].samples());
    add_to(weight_[c].samples(), other.weight_[c].samples());
  }
}

Accumulator::Mean Accumulator::mean() const {
  Mean result;
  for (std::size_t c = 0; c < 3; ++c) {
    if (sum_[c].empty()) continue;
    Plane<float> plane(window_.width, window_.height);
    for (int y = 0; y < window_.height; ++y) {
      for (int x = 0; x < window_.width; ++x) {
        if (weight_[c](x, y) > 0.0F) plane(x, y) = sum_[c](x, y) / weight_[c](x, y);
      }
    }
    fill_uncovered(plane, weight_[c], result.uncovered);
    result.planes[c] = std::move(plane);
  }
  return result;
}

double sharing_transfer(double fx, double fy) {
  const auto sinc = [](double f) {
    const double a = std::numbers::pi * f;
    return std::abs(a) < 1e-9 ? 1.0 : std::sin(a) / a;
  };
  const double both = sinc(fx) * sinc(fy);
  return both * both;
}

}  // namespace halfarc
