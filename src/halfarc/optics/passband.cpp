#include "halfarc/optics/passband.h"

namespace halfarc {
namespace {

// One coated mirror.
SpectralCurve enhanced_aluminium() {
  return SpectralCurve::through({{300, 0.60},
                                 {350, 0.78},
                                 {400, 0.87},
                                 {450, 0.92},
                                 {500, 0.94},
                                 {550, 0.95},
                                 {600, 0.94},
                                 {650, 0.93},
                                 {700, 0.91},
                                 {750, 0.88},
                                 {800, 0.84},
                                 {850, 0.84},
                                 {900, 0.88},
                                 {950, 0.91},
                                 {1000, 0.93},
                                 {1100, 0.95}});
}

// One piece of thin glass, coated on both faces.
SpectralCurve coated_glass() {
  return SpectralCurve::through({{300, 0.0},
                                 {320, 0.30},
                                 {350, 0.82},
                                 {380, 0.93},
                                 {420, 0.97},
                                 {550, 0.98},
                                 {700, 0.97},
                                 {850, 0.94},
                                 {1100, 0.92}});
}

}  // namespace

SpectralCurve silicon_efficiency() {
  return SpectralCurve::through({{300, 0.10},
                                 {350, 0.35},
                                 {400, 0.58},
                                 {450, 0.74},
                                 {500, 0.81},
                                 {550, 0.82},
                                 {600, 0.77},
                                 {650, 0.68},
                                 {700, 0.56},
                                 {750, 0.44},
                                 {800, 0.33},
                                 {850, 0.24},
                                 {900, 0.16},
                                 {950, 0.09},
                                 {1000, 0.04},
                                 {1050, 0.015},
                                 {1100, 0.0}});
}

std::array<SpectralCurve, 3> mosaic_dyes() {
  return {
      SpectralCurve::through({{300, 0.05},
                              {400, 0.06},
                              {450, 0.03},
                              {500, 0.04},
                              {540, 0.06},
                              {560, 0.12},
                              {575, 0.35},
                              {590, 0.75},
                              {600, 0.88},
                              {620, 0.95},
                              {700, 0.94},
                              {1100, 0.95}}),
      SpectralCurve::through({{300, 0.05}, {400, 0.07}, {440, 0.10}, {460, 0.17}, {480, 0.42}, {500, 0.75}, {520, 0.92},
                              {540, 0.95}, {560, 0.90}, {580, 0.72}, {600, 0.42}, {620, 0.20}, {640, 0.12}, {660, 0.10},
                              {700, 0.18}, {740, 0.30}, {780, 0.50}, {820, 0.82}, {850, 0.93}, {1100, 0.95}}),
      SpectralCurve::through({{300, 0.10},
                              {380, 0.30},
                              {400, 0.48},
                              {420, 0.72},
                              {440, 0.86},
                              {460, 0.90},
                              {480, 0.80},
                              {500, 0.50},
                              {520, 0.22},
                              {540, 0.09},
                              {560, 0.05},
                              {600, 0.03},
                              {650, 0.03},
                              {700, 0.05},
                              {750, 0.15},
                              {780, 0.40},
                              {820, 0.82},
                              {850, 0.94},
                              {1100, 0.95}})};
}

SpectralCurve ultraviolet_infrared_cut() {
  return SpectralCurve::through(
      {{390, 0.0}, {400, 0.40}, {410, 0.94}, {420, 0.97}, {680, 0.97}, {690, 0.80}, {700, 0.15}, {710, 0.0}});
}

SpectralCurve infrared_pass(Length edge) {
  return SpectralCurve::through({{edge.nm() - 10.0, 0.0}, {edge.nm() + 10.0, 0.95}});
}

SpectralCurve telescope_transmission(TelescopeKind kind) {
  switch (kind) {
    case TelescopeKind::schmidt_cassegrain:
    case TelescopeKind::maksutov:
      return coated_glass() * enhanced_aluminium() * enhanced_aluminium();
    case TelescopeKind::newtonian:
      return enhanced_aluminium() * enhanced_aluminium();
    case TelescopeKind::refractor:
      return coated_glass() * coated_glass();
  }
  return SpectralCurve::flat(1.0);
}

std::array<SpectralCurve, 3> colour_planes(const SpectralCurve& before) {
  std::array<SpectralCurve, 3> planes = mosaic_dyes();
  for (SpectralCurve& plane : planes) plane = plane * silicon_efficiency() * before;
  return planes;
}

Band band(const SpectralCurve& plane, const SpectralCurve& light) {
  const SpectralCurve seen = plane * light;
  return {mean_wavelength(seen), spread_of_wavelength(seen), area_nm(seen)};
}

SpectralCurve visual_band() {
  return SpectralCurve::through({{470, 0.0},   {480, 0.030}, {490, 0.163}, {500, 0.458}, {510, 0.780}, {520, 0.967},
                                 {530, 1.000}, {540, 0.973}, {550, 0.898}, {560, 0.792}, {570, 0.684}, {580, 0.574},
                                 {590, 0.461}, {600, 0.359}, {610, 0.270}, {620, 0.197}, {630, 0.135}, {640, 0.081},
                                 {650, 0.045}, {660, 0.025}, {670, 0.017}, {680, 0.013}, {690, 0.009}, {700, 0.0}});
}

}  // namespace halfarc
