#include "halfarc/sky/figure.h"

namespace halfarc::sky {

Figure figure_of(Body body) {
  const auto km = [](double equatorial, double polar) { return Figure{Length::km(equatorial), Length::km(polar)}; };
  switch (body) {  // data: [Archinal2018], radii in km, equatorial and polar
    case Body::sun:
      return km(695700.0, 695700.0);
    case Body::moon:
      return km(1737.4, 1737.4);
    case Body::mercury:
      return km(2440.53, 2438.26);
    case Body::venus:
      return km(6099.5, 6099.5);  // 8.41" at 1 au: the cloud tops
    case Body::mars:
      return km(3396.19, 3376.20);
    case Body::jupiter:
      return km(71492.0, 66854.0);
    case Body::saturn:
      return km(60268.0, 54364.0);
    case Body::uranus:
      return km(25559.0, 24973.0);
    case Body::neptune:
      return km(24764.0, 24341.0);
  }
  return km(0.0, 0.0);
}

}  // namespace halfarc::sky
