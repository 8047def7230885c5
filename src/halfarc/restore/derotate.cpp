#include "halfarc/restore/derotate.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "halfarc/restore/smooth.h"

namespace halfarc {
namespace {

constexpr int kLobes = 4;             // of the Lanczos kernel
constexpr int kSteps = 512;           // of its table, a pixel
constexpr float kLeastShade = 0.06F;  // added to both shadings: beside the disc their ratio is 1
constexpr double kInside = 0.8;       // of the radius: where a slice's light is measured
constexpr std::size_t kGreen = static_cast<std::size_t>(Colour::green);

// Weights of the 2 * kLobes samples around a place that lies `step` / kSteps behind the sample kLobes - 1.
using KernelRow = std::array<float, 2 * kLobes>;
std::vector<KernelRow> lanczos_table() {
  const auto sinc = [](double x) {
    const double a = std::numbers::pi * x;
    return std::abs(a) < 1e-9 ? 1.0 : std::sin(a) / a;
  };
  std::vector<KernelRow> table(kSteps + 1);
  for (int s = 0; s <= kSteps; ++s) {
    std::array<double, 2 * kLobes> row{};
    double total = 0.0;
    for (int k = 0; k < 2 * kLobes; ++k) {
      const double x = k - (kLobes - 1) - static_cast<double>(s) / kSteps;
      row[static_cast<std::size_t>(k)] = std::abs(x) < kLobes ? sinc(x) * sinc(x / kLobes) : 0.0;
      total += row[static_cast<std::size_t>(k)];
    }
    for (std::size_t k = 0; k < row.size(); ++k)
      table[static_cast<std::size_t>(s)][k] = static_cast<float>(row[k] / total);
  }
  return table;
}

const KernelRow& kernel_at(double rest) {
  static const std::vector<KernelRow> table = lanczos_table();
  return table[static_cast<std::size_t>(std::lround(rest * kSteps))];
}

// The picture between its samples; false when the kernel reaches over its edge.
bool sample(const Plane<float>& picture, PixelPoint at, float& value) {
  const double fx = std::floor(at.x);
  const double fy = std::floor(at.y);
  const int x0 = static_cast<int>(fx) - (kLobes - 1);
  const int y0 = static_cast<int>(fy) - (kLobes - 1);
  if (x0 < 0 || y0 < 0 || x0 + 2 * kLobes > picture.width() || y0 + 2 * kLobes > picture.height()) return false;
  const KernelRow& across = kernel_at(at.x - fx);
  const KernelRow& down = kernel_at(at.y - fy);
  value = 0.0F;
  for (int j = 0; j < 2 * kLobes; ++j) {
    const float* row = picture.row(y0 + j) + x0;
    float line = 0.0F;
    for (int i = 0; i < 2 * kLobes; ++i) line += across[static_cast<std::size_t>(i)] * row[i];
    value += down[static_cast<std::size_t>(j)] * line;
  }
  return true;
}

// The shading of the globe, drawn with 3 x 3 points a pixel and blurred.
Plane<float> draw_limb(const TurningDisc& disc, const DerotationTarget& target) {
  Plane<float> sharp(target.width, target.height);
  for (int y = 0; y < target.height; ++y) {
    for (int x = 0; x < target.width; ++x) {
      double sum = 0.0;
      for (int k = 0; k < 9; ++k) {
        const PixelPoint p = {x + (k % 3 - 1) / 3.0, y + (k / 3 - 1) / 3.0};
        const TurningDisc::Spot spot = disc.at(p - target.centre);
        if (spot.part == TurningDisc::Part::beside || spot.to_sun <= 0.0) continue;
        sum += 1.0 - target.limb.darkening * (1.0 - spot.to_sun);
      }
      sharp(x, y) = static_cast<float>(sum / 9.0);
    }
  }
  return gaussian_smooth(sharp, std::max(0.3, target.limb.blur));
}

// The median of the outermost pixels: the empty sky.
double sky_level(const Plane<float>& p) {
  std::vector<float> rim;
  for (int x = 0; x < p.width(); ++x) {
    rim.push_back(p(x, 0));
    rim.push_back(p(x, p.height() - 1));
  }
  for (int y = 0; y < p.height(); ++y) {
    rim.push_back(p(0, y));
    rim.push_back(p(p.width() - 1, y));
  }
  const auto middle = rim.begin() + static_cast<std::ptrdiff_t>(rim.size() / 2);
  std::nth_element(rim.begin(), middle, rim.end());
  return static_cast<double>(*middle);
}

// The light of one picture over that of another, within a radius: of the same spots, so markings do not count.
double light_ratio(const Plane<float>& a, const Plane<float>& b, PixelPoint centre, double radius) {
  double sum_a = 0.0, sum_b = 0.0;
  for (int y = 0; y < a.height(); ++y) {
    for (int x = 0; x < a.width(); ++x) {
      if ((PixelPoint{double(x), double(y)} - centre).length() > radius) continue;
      if (a(x, y) == 0.0F || b(x, y) == 0.0F) continue;  // not seen by one of them
      sum_a += static_cast<double>(a(x, y));
      sum_b += static_cast<double>(b(x, y));
    }
  }
  return sum_a > 0.0 && sum_b > 0.0 ? sum_a / sum_b : 0.0;
}

// Adds `more` times `share`.
void add_to(Plane<float>& sum, const Plane<float>& more, float share) {
  if (sum.empty()) sum = Plane<float>(more.width(), more.height());
  for (std::size_t i = 0; i < sum.count(); ++i) sum.samples()[i] += share * more.samples()[i];
}

}  // namespace

Derotation::Derotation(const RotationModel& model, const DerotationTarget& target)
    : model_(model), target_(target), now_(model, target.disc, target.at), limb_(draw_limb(now_, target)) {}

float Derotation::shading_at(PixelOffset from_centre) const {
  const PixelPoint p = target_.centre + from_centre;
  const double fx = std::clamp(p.x, 0.0, target_.width - 1.001);
  const double fy = std::clamp(p.y, 0.0, target_.height - 1.001);
  const int x = static_cast<int>(fx);
  const int y = static_cast<int>(fy);
  const float u = static_cast<float>(fx - x);
  const float v = static_cast<float>(fy - y);
  return (1.0F - v) * ((1.0F - u) * limb_(x, y) + u * limb_(x + 1, y)) +
         v * ((1.0F - u) * limb_(x, y + 1) + u * limb_(x + 1, y + 1));
}

std::vector<Derotation::Source> Derotation::sources(const TurningDisc& then, Threads threads) const {
  std::vector<Source> all(static_cast<std::size_t>(target_.width) * static_cast<std::size_t>(target_.height));
  parallel_for(static_cast<std::size_t>(target_.height), threads, [&](std::size_t row) {
    for (int x = 0; x < target_.width; ++x) {
      Source& source = all[row * static_cast<std::size_t>(target_.width) + static_cast<std::size_t>(x)];
      const PixelOffset here = PixelPoint{double(x), static_cast<double>(row)} - target_.centre;
      const TurningDisc::Spot spot = now_.at(here);
      if (spot.part != TurningDisc::Part::surface) {
        source = {now_.carried_to(then, here), 1.0F, 1.0F};
        continue;
      }
      const TurningDisc::Seen seen = then.find(spot.place);
      if (seen.to_us <= 0.0 || seen.hidden) continue;
      source.from_centre = seen.from_centre;
      source.weight = static_cast<float>(seen.to_us / std::max(spot.to_us, seen.to_us));
      const float there = shading_at(then.carried_to(now_, seen.from_centre));
      source.shading = (shading_at(here) + kLeastShade) / (there + kLeastShade);
    }
  });
  return all;
}

// One picture turned to the target: light above the sky, exactly 0 where the slice did not see the spot.
Plane<float> Derotation::turned(const Plane<float>& picture, double sky, PixelPoint centre,
                                const std::vector<Source>& from, Threads threads) const {
  Plane<float> out(target_.width, target_.height);
  parallel_for(static_cast<std::size_t>(target_.height), threads, [&](std::size_t row) {
    float* to = out.row(static_cast<int>(row));
    const Source* source = from.data() + row * static_cast<std::size_t>(target_.width);
    for (int x = 0; x < target_.width; ++x) {
      float value = 0.0F;
      if (source[x].weight <= 0.0F || !sample(picture, centre + source[x].from_centre, value)) continue;
      value = source[x].shading * (value - static_cast<float>(sky));
      to[x] = value == 0.0F ? 1e-30F : value;
    }
  });
  return out;
}

void Derotation::add(const DerotationSlice& slice, Threads threads) {
  const TurningDisc then(model_, target_.disc, slice.at);
  const std::vector<Source> from = sources(then, threads);
  const double frames = slice.frames[0] + slice.frames[1];
  for (std::size_t c = 0; c < 3; ++c) {
    double sky = 0.0;
    std::array<Plane<float>, 2> pictures;
    Plane<float> both;
    for (std::size_t h = 0; h < 2; ++h) {
      const Plane<float>& plane = (*slice.halves[h])[c];
      if (plane.empty()) continue;
      const double level = sky_level(plane);
      sky += slice.frames[h] / frames * level;
      pictures[h] = turned(plane, level, slice.centre[c], from, threads);
      add_to(both, pictures[h], static_cast<float>(slice.frames[h] / frames));
    }
    if (both.empty()) continue;
    if (first_[c].empty()) {
      sky_[c] = sky;
      first_[c] = both.copy();
    }
    // Dimmer slices are brought to the light of the first; their photon noise grows, so they count for less.
    const float gain =
        static_cast<float>(light_ratio(first_[c], both, target_.centre, kInside * target_.disc.equatorial_radius));
    if (gain <= 0.0F) continue;
    for (std::size_t h = 0; h < 2; ++h) {
      if (pictures[h].empty()) continue;
      Plane<float> weight(target_.width, target_.height);
      for (std::size_t i = 0; i < weight.count(); ++i) {
        const float seen = pictures[h].samples()[i] == 0.0F ? 0.0F : from[i].weight;
        weight.samples()[i] = seen * static_cast<float>(slice.frames[h]) / gain;
        pictures[h].samples()[i] *= gain * weight.samples()[i];
      }
      add_to(sum_[h][c], pictures[h], 1.0F);
      add_to(weight_[h][c], weight, 1.0F);
    }
  }
}

Derotation::Result Derotation::mean() const {
  Result result;
  double disc = 0.0, unseen = 0.0;
  for (std::size_t h = 0; h < 2; ++h) {
    for (std::size_t c = 0; c < 3; ++c) {
      if (sum_[h][c].empty()) continue;
      Plane<float> plane(target_.width, target_.height);
      for (std::size_t i = 0; i < plane.count(); ++i) {
        const float weight = weight_[h][c].samples()[i];
        plane.samples()[i] = static_cast<float>(sky_[c]) + (weight > 0.0F ? sum_[h][c].samples()[i] / weight : 0.0F);
      }
      result.halves[h][c] = std::move(plane);
    }
  }
  if (sum_[0][kGreen].empty()) return result;
  for (int y = 0; y < target_.height; ++y) {
    for (int x = 0; x < target_.width; ++x) {
      if (now_.at(PixelPoint{double(x), double(y)} - target_.centre).part != TurningDisc::Part::surface) continue;
      disc += 1.0;
      unseen += weight_[0][kGreen](x, y) > 0.0F ? 0.0 : 1.0;
    }
  }
  result.unseen = disc > 0.0 ? unseen / disc : 0.0;
  return result;
}

double smear_rate(const RotationModel& model, const DiscOnImage& disc) {
  const TurningAngle& field =
      disc.mount == MountKind::altitude_azimuth ? model.pole_from_zenith : model.pole_from_north;
  return disc.equatorial_radius *
         (std::abs(model.central_east_longitude.rate.rad_per_s()) + std::abs(field.rate.rad_per_s()));
}

}  // namespace halfarc
