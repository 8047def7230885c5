#include "halfarc/base/random.h"

#include <algorithm>
#include <cmath>

namespace halfarc {
namespace {

std::uint32_t low(std::uint64_t v) { return static_cast<std::uint32_t>(v); }
std::uint32_t high(std::uint64_t v) { return static_cast<std::uint32_t>(v >> 32); }

// A 64-bit mixing step (the finaliser of [Steele2014], "Fast splittable pseudorandom number generators").
std::uint64_t mix(std::uint64_t z) {
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
  return z ^ (z >> 31);
}

double polynomial(const std::array<double, 8>& c, double x) {
  double sum = c[7];
  for (std::size_t i = 7; i-- > 0;) sum = sum * x + c[i];
  return sum;
}

// ln k! for the Poisson acceptance test; Stirling's series beyond a small table.
double log_factorial(double k) {
  static constexpr std::array<double, 10> table = {0.0,
                                                   0.0,
                                                   0.69314718055994531,
                                                   1.791759469228055,
                                                   3.1780538303479458,
                                                   4.7874917427820458,
                                                   6.5792512120101012,
                                                   8.5251613610654147,
                                                   10.604602902745251,
                                                   12.801827480081469};
  if (k < 10.0) return table[static_cast<std::size_t>(k)];
  const double n = k + 1.0;
  return (n - 0.5) * std::log(n) - n + 0.91893853320467274 + 1.0 / (12.0 * n) - 1.0 / (360.0 * n * n * n);
}

}  // namespace

std::array<std::uint32_t, 4> philox4x32(std::array<std::uint32_t, 4> c, std::array<std::uint32_t, 2> k) {
  for (int round = 0; round < 10; ++round) {
    const std::uint64_t p0 = 0xD2511F53ULL * c[0];
    const std::uint64_t p1 = 0xCD9E8D57ULL * c[2];
    c = {high(p1) ^ c[1] ^ k[0], low(p1), high(p0) ^ c[3] ^ k[1], low(p0)};
    k = {k[0] + 0x9E3779B9U, k[1] + 0xBB67AE85U};
  }
  return c;
}

// data: coefficients of AS 241, PPND16 [Wichura1988]
double normal_quantile(double p) {
  static constexpr std::array<double, 8> a = {
      3.3871328727963666080e0,  1.3314166789178437745e+2, 1.9715909503065514427e+3, 1.3731693765509461125e+4,
      4.5921953931549871457e+4, 6.7265770927008700853e+4, 3.3430575583588128105e+4, 2.5090809287301226727e+3};
  static constexpr std::array<double, 8> b = {1.0,
                                              4.2313330701600911252e+1,
                                              6.8718700749205790830e+2,
                                              5.3941960214247511077e+3,
                                              2.1213794301586595867e+4,
                                              3.9307895800092710610e+4,
                                              2.8729085735721942674e+4,
                                              5.2264952788528545610e+3};
  static constexpr std::array<double, 8> c = {
      1.42343711074968357734e0, 4.63033784615654529590e0,  5.76949722146069140550e0,  3.64784832476320460504e0,
      1.27045825245236838258e0, 2.41780725177450611770e-1, 2.27238449892691845833e-2, 7.74545014278341407640e-4};
  static constexpr std::array<double, 8> d = {1.0,
                                              2.05319162663775882187e0,
                                              1.67638483018380384940e0,
                                              6.89767334985100004550e-1,
                                              1.48103976427480074590e-1,
                                              1.51986665636164571966e-2,
                                              5.47593808499534494600e-4,
                                              1.05075007164441684324e-9};
  static constexpr std::array<double, 8> e = {
      6.65790464350110377720e0,  5.46378491116411436990e0,  1.78482653991729133580e0,  2.96560571828504891230e-1,
      2.65321895265761230930e-2, 1.24266094738807843860e-3, 2.71155556874348757815e-5, 2.01033439929228813265e-7};
  static constexpr std::array<double, 8> f = {1.0,
                                              5.99832206555887937690e-1,
                                              1.36929880922735805310e-1,
                                              1.48753612908506148525e-2,
                                              7.86869131145613259100e-4,
                                              1.84631831751005468180e-5,
                                              1.42151175831644588870e-7,
                                              2.04426310338993978564e-15};
  const double q = p - 0.5;
  if (std::abs(q) <= 0.425) {
    const double r = 0.180625 - q * q;
    return q * polynomial(a, r) / polynomial(b, r);
  }
  double r = std::sqrt(-std::log(q < 0.0 ? p : 1.0 - p));
  double x;
  if (r <= 5.0) {
    r -= 1.6;
    x = polynomial(c, r) / polynomial(d, r);
  } else {
    r -= 5.0;
    x = polynomial(e, r) / polynomial(f, r);
  }
  return q < 0.0 ? -x : x;
}

Rng Rng::child(std::string_view name, std::uint64_t index) const {
  std::uint64_t hash = 0xcbf29ce484222325ULL;  // FNV-1a of the name
  for (const char c : name) hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001b3ULL;
  return Rng(mix(key_ + 0x9e3779b97f4a7c15ULL) ^ mix(hash + 0x9e3779b97f4a7c15ULL * (index + 1)));
}

std::uint32_t Rng::bits32() {
  if (left_ == 0) {
    block_ = philox4x32({low(counter_), high(counter_), 0, 0}, {low(key_), high(key_)});
    ++counter_;
    left_ = 4;
  }
  return block_[static_cast<std::size_t>(4 - left_--)];
}

std::uint64_t Rng::bits64() {
  const std::uint64_t first = bits32();
  return first << 32 | bits32();
}

// 52 bits, not 53: the half that keeps it off 0 must itself be representable, or the largest value would round to 1.
double Rng::uniform() { return (static_cast<double>(bits64() >> 12) + 0.5) * 0x1.0p-52; }

std::int64_t Rng::poisson(double mean) {
  if (!(mean > 0.0)) return 0;
  mean = std::min(mean, 1e15);
  if (mean < 10.0) {  // product of uniforms until it falls below exp(-mean)
    const double limit = std::exp(-mean);
    std::int64_t k = 0;
    for (double product = uniform(); product > limit; product *= uniform()) ++k;
    return k;
  }
  const double log_mean = std::log(mean);
  const double b = 0.931 + 2.53 * std::sqrt(mean);
  const double a = -0.059 + 0.02483 * b;
  const double inverse_alpha = 1.1239 + 1.1328 / (b - 3.4);
  const double squeeze = 0.9277 - 3.6224 / (b - 2.0);
  for (;;) {
    const double u = uniform() - 0.5;
    const double v = uniform();
    const double us = 0.5 - std::abs(u);
    const double k = std::floor((2.0 * a / us + b) * u + mean + 0.43);
    if (us >= 0.07 && v <= squeeze) return static_cast<std::int64_t>(k);
    if (k < 0.0 || (us < 0.013 && v > us)) continue;
    if (std::log(v) + std::log(inverse_alpha) - std::log(a / (us * us) + b) <= k * log_mean - mean - log_factorial(k)) {
      return static_cast<std::int64_t>(k);
    }
  }
}

}  // namespace halfarc
