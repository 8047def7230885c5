#include "halfarc/base/fourier.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstring>
#include <memory>
#include <new>
#include <numbers>
#include <tuple>
#include <vector>

#include "halfarc/base/parallel.h"
#include "halfarc/base/random.h"

namespace halfarc {
namespace {

constexpr std::align_val_t kAlignment{64};
struct Free {
  void operator()(void* p) const { ::operator delete(p, kAlignment); }
};
template <class T>
using Aligned = std::unique_ptr<T[], Free>;

template <class T>
Aligned<T> aligned(std::size_t n) {
  auto* p = static_cast<T*>(::operator new(n * sizeof(T), kAlignment));
  std::uninitialized_fill_n(p, n, T{});
  return Aligned<T>(p);
}

Aligned<float> noise(std::size_t n, std::uint64_t seed) {
  Rng rng(seed);
  auto v = aligned<float>(n);
  for (std::size_t i = 0; i < n; ++i) v[i] = static_cast<float>(rng.normal());
  return v;
}

// The definition in the header, term by term.
std::complex<double> term_by_term(const float* f, int width, int height, int u, int v) {
  std::complex<double> sum;
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      const double turns = static_cast<double>(u) * x / width + static_cast<double>(v) * y / height;
      sum += static_cast<double>(f[y * width + x]) * std::polar(1.0, -2.0 * std::numbers::pi * turns);
    }
  }
  return sum;
}

class Fourier : public testing::TestWithParam<std::tuple<int, int>> {
 protected:
  int width() const { return std::get<0>(GetParam()); }
  int height() const { return std::get<1>(GetParam()); }
  std::size_t samples() const { return static_cast<std::size_t>(width() * height()); }
};
INSTANTIATE_TEST_SUITE_P(OddAndEven, Fourier,
                         testing::Values(std::tuple{8, 6}, std::tuple{7, 5}, std::tuple{6, 9}, std::tuple{1, 4}));

TEST_P(Fourier, AgreesWithTheDefinition) {
  const auto picture = noise(samples(), 1);
  const auto half = aligned<std::complex<float>>(half_spectrum_size(width(), height()));
  const auto whole = aligned<std::complex<float>>(samples());
  std::copy_n(picture.get(), samples(), whole.get());
  fourier_forward(width(), height(), picture.get(), half.get());
  fourier_forward(width(), height(), whole.get());
  const int columns = width() / 2 + 1;
  for (int v = 0; v < height(); ++v) {
    for (int u = 0; u < width(); ++u) {
      const auto expected = term_by_term(picture.get(), width(), height(), u, v);
      const auto close = [&](std::complex<float> got) { return std::abs(std::complex<double>(got) - expected) < 2e-5; };
      EXPECT_PRED1(close, whole[static_cast<std::size_t>(v * width() + u)]) << u << "," << v;
      if (u < columns) {
        EXPECT_PRED1(close, half[static_cast<std::size_t>(v * columns + u)]) << u << "," << v;
      }
    }
  }
}

TEST_P(Fourier, ThereAndBackIsThePicture) {
  const auto picture = noise(samples(), 2);
  const auto half = aligned<std::complex<float>>(half_spectrum_size(width(), height()));
  const auto back = aligned<float>(samples());
  fourier_forward(width(), height(), picture.get(), half.get());
  fourier_inverse(width(), height(), half.get(), back.get());
  for (std::size_t i = 0; i < samples(); ++i) EXPECT_NEAR(back[i], picture[i], 1e-6);
}

TEST(FourierThreads, SameBytesFromEveryThread) {
  constexpr int width = 120;
  constexpr int height = 90;
  constexpr std::size_t copies = 12;
  const auto picture = noise(std::size_t{width} * height, 4);
  const std::size_t bins = half_spectrum_size(width, height);
  const auto first = aligned<std::complex<float>>(bins);
  fourier_forward(width, height, picture.get(), first.get());
  for (const int threads : {1, 2, 7}) {
    std::vector<Aligned<std::complex<float>>> spectra;
    for (std::size_t i = 0; i < copies; ++i) spectra.push_back(aligned<std::complex<float>>(bins));
    parallel_for(copies, Threads{threads},
                 [&](std::size_t i) { fourier_forward(width, height, picture.get(), spectra[i].get()); });
    for (const auto& s : spectra) EXPECT_EQ(0, std::memcmp(s.get(), first.get(), bins * sizeof(std::complex<float>)));
  }
}

}  // namespace
}  // namespace halfarc
