#include "halfarc/restore/site_spectra.h"

#include <algorithm>
#include <cmath>

#include "halfarc/frames/stream.h"

namespace halfarc {
namespace {

// The parity of the two sites: green for a Bayer mosaic; the diagonal (1,0), (0,1) for everything else.
struct Site {
  int x;
  int y;
};

Site first_site(Mosaic m) { return is_bayer(m) && colour_at(m, 1, 0) != Colour::green ? Site{0, 0} : Site{1, 0}; }
Site second_site(Mosaic m) { return is_bayer(m) && colour_at(m, 1, 0) != Colour::green ? Site{1, 1} : Site{0, 1}; }

Plane<float> site_picture(const RecordingInfo& info, std::span<const std::byte> frame, const Window& window,
                          Site site) {
  Plane<float> out(window.width / 2, window.height / 2);
  visit_samples(info.sample, frame, [&](auto samples) {
    const int spread = samples_per_pixel(info.mosaic);
    const int offset = spread == 3 ? 1 : 0;
    for (int y = 0; y < out.height(); ++y) {
      const std::ptrdiff_t row = static_cast<std::ptrdiff_t>(window.y + 2 * y + site.y) * info.width;
      for (int x = 0; x < out.width(); ++x) {
        const std::ptrdiff_t at = (row + window.x + 2 * x + site.x) * spread + offset;
        out(x, y) = static_cast<float>(samples[static_cast<std::size_t>(at)]);
      }
    }
  });
  return out;
}

// The four weights of cubic interpolation a fraction t past the second sample [Keys1981].
std::array<float, 4> cubic_weights(float t) {
  const float s = 1.0F - t;
  return {-0.5F * t * s * s, 1.0F + t * t * (1.5F * t - 2.5F), 1.0F + s * s * (1.5F * s - 2.5F), -0.5F * s * t * t};
}

float look_up(const Plane<float>& picture, double x, double y) {
  const double left = std::floor(x), above = std::floor(y);
  const auto across = cubic_weights(static_cast<float>(x - left)), down = cubic_weights(static_cast<float>(y - above));
  float sum = 0.0F;
  for (int j = 0; j < 4; ++j) {
    const float* row = picture.row(std::clamp(static_cast<int>(above) + j - 1, 0, picture.height() - 1));
    float part = 0.0F;
    for (int i = 0; i < 4; ++i) {
      part += across[static_cast<std::size_t>(i)] *
              row[std::clamp(static_cast<int>(left) + i - 1, 0, picture.width() - 1)];
    }
    sum += down[static_cast<std::size_t>(j)] * part;
  }
  return sum;
}

// The site picture with each part fetched from where the field has moved it.
Plane<float> straightened(const Plane<float>& picture, Site site, PixelOffset shift, const ShiftField& field) {
  Plane<float> out(picture.width(), picture.height());
  for (int y = 0; y < out.height(); ++y) {
    for (int x = 0; x < out.width(); ++x) {
      const PixelOffset local = shift_at(field, {2.0 * x + site.x - shift.x, 2.0 * y + site.y - shift.y});
      out(x, y) = look_up(picture, x + 0.5 * local.x, y + 0.5 * local.y);
    }
  }
  return out;
}

Spectrum aligned_spectrum(const RecordingInfo& info, std::span<const std::byte> frame, const Window& window, Site site,
                          PixelOffset shift, const ShiftField& field) {
  const Plane<float> picture = site_picture(info, frame, window, site);
  Spectrum s = spectrum_of(field.empty() ? picture.view() : straightened(picture, site, shift, field).view());
  // Site sample i lies at frame pixel 2 i + site; a site pixel is two frame pixels wide.
  move_by(s, {0.5 * (site.x - shift.x), 0.5 * (site.y - shift.y)});
  return s;
}

}  // namespace

SitePair site_pair(const RecordingInfo& info, std::span<const std::byte> frame, const Window& window,
                   PixelOffset shift, const ShiftField& field) {
  return {aligned_spectrum(info, frame, window, first_site(info.mosaic), shift, field),
          aligned_spectrum(info, frame, window, second_site(info.mosaic), shift, field)};
}

SiteSums::SiteSums(const Window& window) : width_(window.width / 2), height_(window.height / 2) {
  const std::size_t count = static_cast<std::size_t>(width_ / 2 + 1) * static_cast<std::size_t>(height_);
  first_.resize(count);
  second_.resize(count);
  cross_.resize(count);
  auto_.resize(count);
}

void SiteSums::add(const SitePair& pair) {
  ++frames_;
  const auto a = pair.first.values.samples();
  const auto b = pair.second.values.samples();
  for (std::size_t i = 0; i < first_.size(); ++i) {
    const std::complex<double> va = a[i];
    const std::complex<double> vb = b[i];
    first_[i] += va;
    second_[i] += vb;
    cross_[i] += va.real() * vb.real() + va.imag() * vb.imag();
    auto_[i] += 0.5 * (std::norm(va) + std::norm(vb));
  }
}

void SiteSums::add_neighbours(const SitePair& earlier, const SitePair& later, std::size_t apart) {
  std::vector<double>& sum = later_[apart - 1];
  sum.resize(cross_.size());
  ++pairs_[apart - 1];
  const auto dot = [](std::complex<float> a, std::complex<float> b) {
    return static_cast<double>(a.real()) * static_cast<double>(b.real()) +
           static_cast<double>(a.imag()) * static_cast<double>(b.imag());
  };
  const auto a1 = earlier.first.values.samples(), a2 = earlier.second.values.samples();
  const auto b1 = later.first.values.samples(), b2 = later.second.values.samples();
  for (std::size_t i = 0; i < sum.size(); ++i) sum[i] += 0.5 * (dot(a1[i], b2[i]) + dot(a2[i], b1[i]));
}

void SiteSums::keep_apart(const SiteSums& a, const SiteSums& b) {
  apart_.resize(cross_.size());
  apart_pairs_ += 2.0 * static_cast<double>(a.frames_) * static_cast<double>(b.frames_);
  const auto dot = [](std::complex<double> u, std::complex<double> v) {
    return u.real() * v.real() + u.imag() * v.imag();
  };
  for (std::size_t i = 0; i < apart_.size(); ++i) {
    apart_[i] += dot(a.first_[i], b.second_[i]) + dot(b.first_[i], a.second_[i]);
  }
}

SiteSums sum_of_turns(std::span<const SiteSums> groups, std::size_t left_out) {
  SiteSums sum;
  for (std::size_t g = 0; g < groups.size(); ++g) {
    if (g != left_out) sum += groups[g];
  }
  if (groups.size() < 4) return sum;
  for (std::size_t g = 0; g < groups.size(); ++g) {
    const std::size_t next = (g + 1) % groups.size();
    if (g != left_out && next != left_out) sum.keep_apart(groups[g], groups[next]);
  }
  return sum;
}

SiteSums& SiteSums::operator+=(const SiteSums& other) {
  if (first_.empty()) return *this = other;
  frames_ += other.frames_;
  for (std::size_t i = 0; i < other.first_.size(); ++i) {
    first_[i] += other.first_[i];
    second_[i] += other.second_[i];
    cross_[i] += other.cross_[i];
    auto_[i] += other.auto_[i];
  }
  for (std::size_t k = 0; k < kNeighbours; ++k) {
    pairs_[k] += other.pairs_[k];
    later_[k].resize(std::max(later_[k].size(), other.later_[k].size()));
    for (std::size_t i = 0; i < other.later_[k].size(); ++i) later_[k][i] += other.later_[k][i];
  }
  return *this;
}

SiteSums::RingPowers SiteSums::rings() const {
  const Rings rings(width_, height_);
  const std::size_t count = static_cast<std::size_t>(rings.count());
  RingPowers result;
  result.coherent.resize(count);
  result.mean.resize(count);
  result.noisy.resize(count);
  result.population = rings.population();
  for (std::size_t r = 0; r < count; ++r) result.frequency.push_back(0.5 * rings.frequency(static_cast<int>(r)));
  const double n = static_cast<double>(frames_);
  if (frames_ < 2) return result;
  double strangers = n * (n - 1.0);  // ordered pairs of frames that are not the same, nor neighbours, nor kept apart
  for (std::size_t k = 0; k < kNeighbours; ++k) {
    if (pairs_[k] > 0) result.later[k].resize(count);
    strangers -= 2.0 * static_cast<double>(pairs_[k]);
  }
  strangers -= apart_pairs_;
  if (!(strangers > 0.0)) return result;
  const int half = width_ / 2 + 1;
  for (int ky = 0; ky < height_; ++ky) {
    for (int kx = 0; kx < half; ++kx) {
      const std::size_t i =
          static_cast<std::size_t>(ky) * static_cast<std::size_t>(half) + static_cast<std::size_t>(kx);
      const std::size_t r = static_cast<std::size_t>(rings.ring(kx, ky));
      const double copies = kx == 0 || 2 * kx == width_ ? 1.0 : 2.0;
      const double of_sums = first_[i].real() * second_[i].real() + first_[i].imag() * second_[i].imag();
      // Products of a frame with itself and with its neighbours are taken out: what is left is coherent between
      // frames that saw different air.
      double coherent = of_sums - cross_[i];
      if (!apart_.empty()) coherent -= apart_[i];
      for (std::size_t k = 0; k < kNeighbours; ++k) {
        if (pairs_[k] == 0) continue;
        coherent -= 2.0 * later_[k][i];
        result.later[k][r] += copies * later_[k][i] / static_cast<double>(pairs_[k]);
      }
      result.coherent[r] += copies * coherent / strangers;
      result.mean[r] += copies * cross_[i] / n;
      result.noisy[r] += copies * auto_[i] / n;
    }
  }
  return result;
}

}  // namespace halfarc
