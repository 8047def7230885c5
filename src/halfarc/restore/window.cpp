#include "halfarc/restore/window.h"

#include <algorithm>
#include <cmath>

namespace halfarc {
namespace {

bool is_fast(int n) {
  for (const int factor : {2, 3, 5, 7}) {
    while (n % factor == 0) n /= factor;
  }
  return n == 1;
}

struct Span {
  int first;
  int size;
};

// One axis of window_around.
Span span_around(double low, double high, int margin, int limit) {
  const int even_limit = limit & ~1;
  const int wanted = static_cast<int>(std::ceil(high - low)) + 1 + 2 * margin;
  if (4 * wanted > 3 * limit) return {0, even_limit};
  const int size = std::min(fast_size(wanted), even_limit);
  const int first = static_cast<int>(std::lround(0.5 * (low + high) - 0.5 * size));
  return {std::clamp(first, 0, even_limit - size) & ~1, size};
}

}  // namespace

int fast_size(int n) {
  n = std::max(2, n + (n & 1));
  while (!is_fast(n)) n += 2;
  return n;
}

Window window_around(double x0, double y0, double x1, double y1, int margin, int width, int height) {
  const Span across = span_around(x0, x1, margin, width);
  const Span down = span_around(y0, y1, margin, height);
  return {across.first, down.first, across.size, down.size};
}

}  // namespace halfarc
