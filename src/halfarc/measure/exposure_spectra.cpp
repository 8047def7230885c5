#include "halfarc/measure/exposure_spectra.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "halfarc/base/fourier.h"
#include "halfarc/frames/mosaic.h"
#include "halfarc/frames/stream.h"
#include "halfarc/measure/aligned_mean.h"

namespace halfarc {
namespace {

using std::numbers::pi;
using Value = std::complex<float>;

constexpr std::size_t kFewestFrames = 48;
constexpr double kFinest = 0.22;  // cycles per pixel: beyond a quarter the half-resolution sites fold detail back
constexpr double kRingWidth = 0.04;

// The values of a site's spectrum that are looked at.
struct Bin {
  std::size_t at;  // in the half spectrum
  float fx, fy;    // cycles per pixel of the frame
  float copies;
  float weight;  // in aligning
  int ring;      // -1: coarser than the first, for aligning only
};

// What all frames share: where the sites lie, how large their pictures are, which values count.
struct Layout {
  int size;  // of a site picture; the window is twice as wide
  std::array<std::array<int, 2>, 2> sites;
  std::vector<float> fade;
  std::vector<Bin> bins;
};

int fast_size(int least) {
  for (int n = least + least % 2;; n += 2) {
    int rest = n;
    for (const int f : {2, 3, 5}) {
      while (rest % f == 0) rest /= f;
    }
    if (rest == 1) return n;
  }
}

Layout layout_of(const RecordingInfo& info, const RecordingIndex& index, const ClipOptics& optics, Subject subject) {
  Layout layout;
  layout.size = fast_size(size_for(index, 640) / 2);
  const bool on_diagonal = is_bayer(info.mosaic) && colour_at(info.mosaic, 1, 0) != Colour::green;
  layout.sites = on_diagonal ? std::array<std::array<int, 2>, 2>{{{0, 0}, {1, 1}}}
                             : std::array<std::array<int, 2>, 2>{{{1, 0}, {0, 1}}};
  for (int i = 0; i < layout.size; ++i) {
    const double from_edge = std::min(i, layout.size - 1 - i) / (0.125 * layout.size);
    layout.fade.push_back(from_edge >= 1.0 ? 1.0F : static_cast<float>(0.5 - 0.5 * std::cos(pi * from_edge)));
  }
  const double cut = optics.scale.angle(1.0).rad() * cut_off(optics.pupil, optics.wavelength).per_rad();
  const int columns = layout.size / 2 + 1;
  for (int row = 0; row < layout.size; ++row) {
    for (int column = 0; column < columns; ++column) {
      const double fx = 0.5 * column / layout.size;
      const double fy = 0.5 * (2 * row < layout.size ? row : row - layout.size) / layout.size;
      const double f = std::hypot(fx, fy);
      const int ring = static_cast<int>(std::floor((f / cut - spectrum_share(0)) / kRingWidth + 0.5));
      if (f == 0.0 || f > kFinest || ring >= static_cast<int>(kSpectrumRings)) continue;
      const float copies = column == 0 || 2 * column == layout.size ? 1.0F : 2.0F;
      const double weight = subject == Subject::point ? std::pow(std::max(f / cut, 0.03), -3.0) : 1.0;
      layout.bins.push_back({static_cast<std::size_t>(row * columns + column), static_cast<float>(fx),
                             static_cast<float>(fy), copies, copies * static_cast<float>(weight), std::max(ring, -1)});
    }
  }
  return layout;
}

// One frame's two sites, moved so that its centroid lies at the origin.
struct Exposure {
  std::array<std::vector<Value>, 2> sites;
  PixelOffset shift;  // still to be taken off
};

void move_back(Exposure& exposure, const Layout& layout, PixelOffset by) {
  for (std::size_t b = 0; b < layout.bins.size(); ++b) {
    const Bin& bin = layout.bins[b];
    const double turn = 2.0 * pi * (static_cast<double>(bin.fx) * by.x + static_cast<double>(bin.fy) * by.y);
    const Value factor = std::polar(1.0F, static_cast<float>(turn));
    exposure.sites[0][b] *= factor;
    exposure.sites[1][b] *= factor;
  }
}

template <class T>
void site_picture(const RecordingInfo& info, std::span<const T> samples, const Layout& layout, int x0, int y0,
                  const std::array<int, 2>& site, float background, Plane<float>& out) {
  const int spread = samples_per_pixel(info.mosaic), offset = spread == 3 ? 1 : 0;
  for (int y = 0; y < layout.size; ++y) {
    const int row = y0 + 2 * y + site[1];
    for (int x = 0; x < layout.size; ++x) {
      const int column = x0 + 2 * x + site[0];
      const bool inside = row >= 0 && row < info.height && column >= 0 && column < info.width;
      if (!inside) {
        out(x, y) = 0.0F;
        continue;
      }
      const auto at =
          (static_cast<std::size_t>(row) * static_cast<std::size_t>(info.width) + static_cast<std::size_t>(column)) *
              static_cast<std::size_t>(spread) +
          static_cast<std::size_t>(offset);
      out(x, y) = (static_cast<float>(samples[at]) - background) * layout.fade[static_cast<std::size_t>(x)] *
                  layout.fade[static_cast<std::size_t>(y)];
    }
  }
}

Exposure exposure_of(const RecordingInfo& info, std::span<const std::byte> frame, const FrameIndex& index,
                     const Layout& layout) {
  // The window starts on an even pixel, so that the sites keep their colours.
  const int x0 = 2 * static_cast<int>(std::lround(0.5 * (index.centroid.x - layout.size)));
  const int y0 = 2 * static_cast<int>(std::lround(0.5 * (index.centroid.y - layout.size)));
  Exposure exposure;
  Plane<float> picture(layout.size, layout.size);
  Plane<Value> spectrum(layout.size / 2 + 1, layout.size);
  for (std::size_t s = 0; s < 2; ++s) {
    const std::array<int, 2>& site = layout.sites[s];
    visit_samples(info.sample, frame, [&]<class T>(std::span<const T> samples) {
      site_picture<T>(info, samples, layout, x0, y0, site, index.background, picture);
    });
    fourier_forward(layout.size, layout.size, picture.data(), spectrum.data());
    std::vector<Value>& kept = exposure.sites[s];
    kept.reserve(layout.bins.size());
    for (const Bin& bin : layout.bins) {
      const double turn = 2.0 * pi *
                          (static_cast<double>(bin.fx) * (index.centroid.x - x0 - site[0]) +
                           static_cast<double>(bin.fy) * (index.centroid.y - y0 - site[1]));
      kept.push_back(spectrum.samples()[bin.at] * std::polar(1.0F, static_cast<float>(turn)));
    }
  }
  return exposure;
}

std::vector<Value> mean_of(const std::vector<Exposure>& exposures, const Layout& layout) {
  std::vector<Value> mean(layout.bins.size());
  const float share = 0.5F / static_cast<float>(exposures.size());
  for (const Exposure& e : exposures) {
    for (std::size_t b = 0; b < mean.size(); ++b) mean[b] += share * (e.sites[0][b] + e.sites[1][b]);
  }
  return mean;
}

// Two Newton steps towards the best agreement with the mean, every value with the power it has.
void align(Exposure& exposure, const Layout& layout, const std::vector<Value>& mean) {
  for (int step = 0; step < 2; ++step) {
    double gx = 0.0, gy = 0.0, xx = 0.0, xy = 0.0, yy = 0.0;
    for (std::size_t b = 0; b < mean.size(); ++b) {
      const Bin& bin = layout.bins[b];
      const Value product = (exposure.sites[0][b] + exposure.sites[1][b]) * std::conj(mean[b]) * bin.weight;
      const double fx = 2.0 * pi * static_cast<double>(bin.fx), fy = 2.0 * pi * static_cast<double>(bin.fy);
      const auto real = static_cast<double>(product.real()), imaginary = static_cast<double>(product.imag());
      gx -= imaginary * fx;
      gy -= imaginary * fy;
      xx += real * fx * fx;
      xy += real * fx * fy;
      yy += real * fy * fy;
    }
    const double determinant = xx * yy - xy * xy;
    if (!(xx > 0.0 && determinant > 0.0)) return;
    const auto limited = [](double v) { return std::clamp(v, -3.0, 3.0); };
    move_back(exposure, layout,
              {limited((yy * gx - xy * gy) / determinant), limited((xx * gy - xy * gx) / determinant)});
  }
}

// The first frames of bursts, evenly over the clip.
std::vector<std::size_t> bursts_of(const RecordingIndex& index, std::size_t most) {
  std::vector<std::size_t> possible;
  for (std::size_t i = 0; i + kBurst <= index.frames.size();) {
    std::size_t k = 0;
    while (k < kBurst && index.frames[i + k].found) ++k;
    if (k == kBurst) possible.push_back(i);
    i += k == kBurst ? kBurst : k + 1;
  }
  const std::size_t count = std::min(possible.size(), most / kBurst);
  std::vector<std::size_t> chosen;
  for (std::size_t b = 0; b < count; ++b) chosen.push_back(possible[b * possible.size() / count]);
  return chosen;
}

double product(const std::vector<Value>& a, const std::vector<Value>& b, std::size_t i) {
  return static_cast<double>(a[i].real()) * static_cast<double>(b[i].real()) +
         static_cast<double>(a[i].imag()) * static_cast<double>(b[i].imag());
}

void add_burst(std::span<const Exposure> burst, const Layout& layout, ExposureSpectra::Group& group) {
  for (std::size_t b = 0; b < layout.bins.size(); ++b) {
    const int r = layout.bins[b].ring;
    if (r < 0) continue;
    const auto ring = static_cast<std::size_t>(r);
    const auto copies = static_cast<double>(layout.bins[b].copies);
    std::complex<double> first, second;
    for (std::size_t i = 0; i < burst.size(); ++i) {
      first += std::complex<double>(burst[i].sites[0][b]);
      second += std::complex<double>(burst[i].sites[1][b]);
      group.single[ring] += copies * product(burst[i].sites[0], burst[i].sites[1], b);
      for (std::size_t k = 1; i + k < burst.size(); ++k) {
        group.later[k - 1][ring] += copies * 0.5 *
                                    (product(burst[i].sites[0], burst[i + k].sites[1], b) +
                                     product(burst[i].sites[1], burst[i + k].sites[0], b));
      }
    }
    group.within[ring] += copies * (first * std::conj(second)).real();
    group.first[b] += first;
    group.second[b] += second;
  }
  const auto n = static_cast<double>(burst.size());
  group.frames += n;
  group.pairs_within += n * n;
  for (std::size_t k = 1; k < burst.size(); ++k) group.pairs_later[k - 1] += n - static_cast<double>(k);
}

}  // namespace

RingPowers ExposureSpectra::powers(std::size_t left_out) const {
  std::vector<std::complex<double>> first(ring_of.size()), second(ring_of.size());
  RingPowers p;
  double frames_in = 0.0, pairs = 0.0;
  std::array<double, kBurst - 1> pairs_later{};
  for (std::size_t g = 0; g < groups.size(); ++g) {
    if (g == left_out) continue;
    const Group& group = groups[g];
    for (std::size_t b = 0; b < first.size(); ++b) {
      first[b] += group.first[b];
      second[b] += group.second[b];
    }
    for (std::size_t r = 0; r < kSpectrumRings; ++r) {
      p.coherent[r] -= group.within[r];
      p.single[r] += group.single[r];
      for (std::size_t k = 0; k < kBurst - 1; ++k) p.later[k][r] += group.later[k][r];
    }
    frames_in += group.frames;
    pairs += group.pairs_within;
    for (std::size_t k = 0; k < kBurst - 1; ++k) pairs_later[k] += group.pairs_later[k];
  }
  for (std::size_t b = 0; b < first.size(); ++b) {
    if (ring_of[b] >= 0)
      p.coherent[static_cast<std::size_t>(ring_of[b])] += copies[b] * (first[b] * std::conj(second[b])).real();
  }
  for (std::size_t r = 0; r < kSpectrumRings; ++r) {
    p.coherent[r] /= frames_in * frames_in - pairs;
    p.single[r] /= frames_in;
    for (std::size_t k = 0; k < kBurst - 1; ++k) p.later[k][r] /= pairs_later[k];
  }
  return p;
}

Result<ExposureSpectra> exposure_spectra(const Recording& recording, const RecordingIndex& index,
                                         const ClipOptics& optics, Subject subject, Threads threads, std::size_t most) {
  const RecordingInfo& info = recording.info();
  const std::vector<std::size_t> bursts = bursts_of(index, most);
  if (bursts.size() * kBurst < kFewestFrames)
    return bad_input("too few frames that follow each other", info.path.string(), "record 5 s or more");
  const Layout layout = layout_of(info, index, optics, subject);

  std::vector<Exposure> exposures(bursts.size() * kBurst);
  std::vector<std::optional<Error>> errors(bursts.size());
  parallel_for(bursts.size(), threads, [&](std::size_t b) {
    Plane<std::byte> buffer(static_cast<int>(info.bytes_per_frame()), 1);
    for (std::size_t k = 0; k < kBurst; ++k) {
      const auto read = recording.read(bursts[b] + k, 1, buffer.samples());
      if (!read) {
        errors[b] = read.error();
        return;
      }
      exposures[b * kBurst + k] = exposure_of(info, buffer.samples(), index.frames[bursts[b] + k], layout);
    }
  });
  for (const auto& error : errors) {
    if (error) return *error;
  }
  for (int round = 0; round < 2; ++round) {
    const std::vector<Value> mean = mean_of(exposures, layout);
    parallel_for(exposures.size(), threads, [&](std::size_t i) { align(exposures[i], layout, mean); });
  }

  ExposureSpectra spectra;
  spectra.frames = exposures.size();
  for (const Bin& bin : layout.bins) {
    spectra.ring_of.push_back(bin.ring);
    spectra.copies.push_back(static_cast<double>(bin.copies));
  }
  const double cut = optics.scale.angle(1.0).rad() * cut_off(optics.pupil, optics.wavelength).per_rad();
  for (std::size_t r = 0; r < kSpectrumRings; ++r)
    spectra.seen[r] =
        (spectrum_share(r) + 0.5 * kRingWidth) * cut < kFinest &&
        std::find(spectra.ring_of.begin(), spectra.ring_of.end(), static_cast<int>(r)) != spectra.ring_of.end();
  spectra.groups.resize(kSpectrumGroups);
  parallel_for(kSpectrumGroups, threads, [&](std::size_t g) {
    ExposureSpectra::Group& group = spectra.groups[g];
    group.first.resize(layout.bins.size());
    group.second.resize(layout.bins.size());
    const std::size_t from = g * bursts.size() / kSpectrumGroups, to = (g + 1) * bursts.size() / kSpectrumGroups;
    for (std::size_t b = from; b < to; ++b) add_burst({exposures.data() + b * kBurst, kBurst}, layout, group);
  });
  return spectra;
}

}  // namespace halfarc
