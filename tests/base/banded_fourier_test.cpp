#include "halfarc/base/banded_fourier.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <new>
#include <tuple>

#include "halfarc/base/fourier.h"
#include "halfarc/base/random.h"

namespace halfarc {
namespace {

using Value = std::complex<float>;
constexpr std::align_val_t kAlignment{64};
struct Free {
  void operator()(void* p) const { ::operator delete(p, kAlignment); }
};
template <class T>
std::unique_ptr<T[], Free> zeros(std::size_t n) {
  auto* p = static_cast<T*>(::operator new(n * sizeof(T), kAlignment));
  std::uninitialized_fill_n(p, n, T{});
  return std::unique_ptr<T[], Free>(p);
}

// Width, height, band, patch: even and odd, aligned rows and not, a patch as large as the picture.
class Banded : public testing::TestWithParam<std::tuple<int, int, int, int>> {
 protected:
  int width = std::get<0>(GetParam());
  int height = std::get<1>(GetParam());
  int band = std::get<2>(GetParam());
  int size = std::get<3>(GetParam());
  std::size_t samples = static_cast<std::size_t>(width) * static_cast<std::size_t>(height);
  std::size_t at(int x, int y) const { return static_cast<std::size_t>(y * width + x); }
  std::size_t half_at(int u, int v) const { return static_cast<std::size_t>(v * (width / 2 + 1) + u); }
};
INSTANTIATE_TEST_SUITE_P(Sizes, Banded,
                         testing::Values(std::tuple{64, 48, 20, 16}, std::tuple{50, 37, 25, 10},
                                         std::tuple{33, 44, 3, 32}, std::tuple{24, 24, 12, 24}));

TEST_P(Banded, PatchHasTheSpectrumOfThePictureThatHoldsIt) {
  Rng rng(1);
  const auto patch = zeros<float>(static_cast<std::size_t>(size * size));
  const auto picture = zeros<float>(samples);
  for (int y = 0; y < size; ++y) {
    for (int x = 0; x < size; ++x) {
      const auto value = static_cast<float>(rng.normal());
      patch[static_cast<std::size_t>(y * size + x)] = value;
      picture[at(x < size / 2 ? x : width - size + x, y < size / 2 ? y : height - size + y)] = value;
    }
  }
  const auto expected = zeros<Value>(half_spectrum_size(width, height));
  fourier_forward(width, height, picture.get(), expected.get());
  const BandedFourier fourier(width, height, band);
  const auto spectrum = zeros<Value>(fourier.bins());
  const auto scratch = fourier.make_scratch();
  for (int again = 0; again < 2; ++again) {  // the second time over used scratch and spectrum
    fourier.forward_patch(patch.get(), size, spectrum.get(), *scratch);
    for (int v = 0; v < height; ++v) {
      for (int u = 0; u < band; ++u) {
        const Value got = spectrum[static_cast<std::size_t>(u * fourier.pitch() + v)];
        EXPECT_NEAR(std::abs(got - expected[half_at(u, v)]), 0.0F, 5e-5F) << u << "," << v;
      }
    }
  }
}

TEST_P(Banded, InverseIsThatOfTheWholeSpectrum) {
  Rng rng(2);
  const BandedFourier fourier(width, height, band);
  const auto spectrum = zeros<Value>(fourier.bins());
  const auto whole = zeros<Value>(half_spectrum_size(width, height));
  // Bins of a real picture: column 0 mirrors itself.
  for (int u = 0; u < band; ++u) {
    for (int v = 0; v < height; ++v) {
      Value value(static_cast<float>(rng.normal()), static_cast<float>(rng.normal()));
      const int mirror = (height - v) % height;
      if (u == 0 && mirror == v) value = {value.real(), 0.0F};
      if (u == 0 && mirror < v) value = std::conj(whole[half_at(0, mirror)]);
      whole[half_at(u, v)] = value;
      spectrum[static_cast<std::size_t>(u * fourier.pitch() + v)] = value;
    }
  }
  // fourier_inverse() overwrites what it is given.
  const auto kept = zeros<Value>(half_spectrum_size(width, height));
  std::copy_n(whole.get(), half_spectrum_size(width, height), kept.get());
  const auto whole_value = [&](int u, int v) { return kept[half_at(u, v)]; };
  const auto expected = zeros<float>(samples);
  const auto got = zeros<float>(samples);
  fourier_inverse(width, height, whole.get(), expected.get());
  fourier.inverse(spectrum.get(), got.get(), *fourier.make_scratch());
  for (std::size_t i = 0; i < samples; ++i) {
    EXPECT_NEAR(got[i] / static_cast<float>(samples), expected[i], 2e-6F);
  }
  // Every second row alone, from the first or the second on: the same there, nothing elsewhere.
  for (const int first : {0, 1}) {
    const auto some = zeros<float>(samples);
    for (int u = 0; u < band; ++u) {
      for (int v = 0; v < height; ++v) spectrum[static_cast<std::size_t>(u * fourier.pitch() + v)] = whole_value(u, v);
    }
    fourier.inverse(spectrum.get(), some.get(), *fourier.make_scratch(), {first, 2});
    for (int y = 0; y < height; ++y) {
      for (int x = 0; x < width; ++x) {
        const float wanted = y % 2 == first ? expected[at(x, y)] : 0.0F;
        EXPECT_NEAR(some[at(x, y)] / static_cast<float>(samples), wanted, 2e-6F);
      }
    }
  }
}

// Convolution with a patch, in one and by its parts.
TEST_P(Banded, FilterIsForwardProductAndInverse) {
  Rng rng(3);
  const BandedFourier fourier(width, height, band);
  const auto patch = zeros<float>(static_cast<std::size_t>(size * size));
  for (int i = 0; i < size * size; ++i) patch[static_cast<std::size_t>(i)] = static_cast<float>(rng.normal());
  const auto gain = [](int u, int v) { return 1.0F / static_cast<float>(1 + u + v); };
  const auto spectrum = zeros<Value>(fourier.bins());
  const auto scratch = fourier.make_scratch();
  for (const RowChoice rows : {RowChoice{}, RowChoice{1, 2}}) {
    const auto expected = zeros<float>(samples);
    fourier.forward_patch(patch.get(), size, spectrum.get(), *scratch);
    for (int u = 0; u < band; ++u) {
      for (int v = 0; v < height; ++v) spectrum[static_cast<std::size_t>(u * fourier.pitch() + v)] *= gain(u, v);
    }
    fourier.inverse(spectrum.get(), expected.get(), *scratch, rows);
    const auto got = zeros<float>(samples);
    const auto filter = [&](int u, Value* column) {
      for (int v = 0; v < height; ++v) column[v] *= gain(u, v);
    };
    fourier.filter_patch(patch.get(), size, filter, spectrum.get(), got.get(), *scratch, rows);
    EXPECT_TRUE(std::equal(got.get(), got.get() + samples, expected.get()));
  }
}

}  // namespace
}  // namespace halfarc
