#include "halfarc/optics/zernike.h"

#include <cmath>
#include <numbers>

namespace halfarc {
namespace {

double factorial(int n) {
  double product = 1.0;
  for (int i = 2; i <= n; ++i) product *= i;
  return product;
}

double radial(int n, int m, double rho) {
  double sum = 0.0;
  for (int s = 0; s <= (n - m) / 2; ++s) {
    const double sign = s % 2 == 0 ? 1.0 : -1.0;
    sum += sign * factorial(n - s) / (factorial(s) * factorial((n + m) / 2 - s) * factorial((n - m) / 2 - s)) *
           std::pow(rho, n - 2 * s);
  }
  return sum;
}

}  // namespace

ZernikeMode zernike_mode(int j) {
  int n = 0;
  int first = 1;  // number of the first polynomial of order n
  while (first + n + 1 <= j) {
    first += n + 1;
    ++n;
  }
  // Within an order the azimuthal orders rise in pairs: 0 2 2 4 4 ... or 1 1 3 3 ...
  const int place = j - first;
  const int m = n % 2 == 0 ? 2 * ((place + 1) / 2) : 2 * (place / 2) + 1;
  return {n, m, m != 0 && j % 2 == 1};
}

double zernike(int j, double x, double y) {
  const ZernikeMode mode = zernike_mode(j);
  const double rho = std::hypot(x, y);
  const double r = std::sqrt(mode.n + 1.0) * radial(mode.n, mode.m, rho);
  if (mode.m == 0) return r;
  const double angle = mode.m * std::atan2(y, x);
  return std::numbers::sqrt2 * r * (mode.sine ? std::sin(angle) : std::cos(angle));
}

}  // namespace halfarc
