// Random numbers that are the same on every machine, compiler and number of threads.
//
// The generator is counter based: Philox 4x32-10 [Salmon2011]. A stream is named by a seed and a path of children
// (`rng.child("frame", i)`), so that frame 700 has its own numbers whichever thread makes it and whatever came
// before. The samplers are ours, because those of the standard library differ between implementations.
//
// Source: [Salmon2011] Salmon et al., "Parallel random numbers: as easy as 1, 2, 3", SC11; normal quantile
// [Wichura1988] algorithm AS 241 (relative error 1e-16); Poisson [Hormann1993] transformed rejection PTRS.
#pragma once

#include <array>
#include <cstdint>
#include <string_view>

namespace halfarc {

// One block of Philox 4x32-10: 128 random bits for a 128-bit counter and a 64-bit key.
std::array<std::uint32_t, 4> philox4x32(std::array<std::uint32_t, 4> counter, std::array<std::uint32_t, 2> key);

// The standard normal quantile: x with P(X < x) = p. Valid: 0 < p < 1. Accuracy: relative 1e-15.
double normal_quantile(double p);

class Rng {
 public:
  explicit Rng(std::uint64_t seed) : key_(seed) {}

  // An independent stream, named and numbered.
  Rng child(std::string_view name, std::uint64_t index = 0) const;

  std::uint32_t bits32();
  std::uint64_t bits64();
  double uniform();  // in (0, 1), never 0 or 1, 52 bits
  double uniform(double low, double high) { return low + (high - low) * uniform(); }
  double normal() { return normal_quantile(uniform()); }  // mean 0, variance 1

  // A Poisson number; 0 unless mean > 0. Valid: mean <= 1e9 (larger is treated as at most 1e15, where the
  // acceptance test begins to lose digits).
  std::int64_t poisson(double mean);

 private:
  std::uint64_t key_;
  std::uint64_t counter_ = 0;
  std::array<std::uint32_t, 4> block_{};
  int left_ = 0;
};

}  // namespace halfarc
