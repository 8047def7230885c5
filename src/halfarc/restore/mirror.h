// Mirrored borders: sample i of a line of n samples, reflected about the outer edges of its first and last samples.
#pragma once

namespace halfarc {

constexpr int mirrored(int i, int n) {
  const int period = 2 * n;
  i = ((i % period) + period) % period;
  return i < n ? i : period - 1 - i;
}

}  // namespace halfarc
