#include "halfarc/restore/trust.h"

#include <algorithm>

#include "halfarc/restore/smooth.h"

namespace halfarc {
namespace {

Plane<float> product(const Plane<float>& a, const Plane<float>& b) {
  Plane<float> out(a.width(), a.height());
  for (std::size_t i = 0; i < out.count(); ++i) out.samples()[i] = a.samples()[i] * b.samples()[i];
  return out;
}

}  // namespace

Plane<float> trust_map(View<const float> half_a, View<const float> half_b, double detail_size, double neighbourhood) {
  const Plane<float> a = fine_detail(half_a, detail_size);
  const Plane<float> b = fine_detail(half_b, detail_size);
  const Plane<float> ab = gaussian_smooth(product(a, b), neighbourhood);
  const Plane<float> aa = gaussian_smooth(product(a, a), neighbourhood);
  const Plane<float> bb = gaussian_smooth(product(b, b), neighbourhood);
  Plane<float> trust(a.width(), a.height());
  for (std::size_t i = 0; i < trust.count(); ++i) {
    const float power = 0.5F * (aa.samples()[i] + bb.samples()[i]);
    const float t = power > 0.0F ? std::clamp(ab.samples()[i] / power, 0.0F, 1.0F) : 0.0F;
    trust.samples()[i] = 2.0F * t / (1.0F + t);
  }
  return trust;
}

}  // namespace halfarc
