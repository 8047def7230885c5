#include "halfarc/optics/sunlight.h"

#include <cmath>

namespace halfarc {
namespace {

constexpr double kHcOverK = 1.438776877e-2;  // m K: second radiation constant, exact by the SI of 2019

}  // namespace

SpectralCurve black_body_photons(Temperature temperature) {
  const auto photons = [&](Length wavelength) {
    const double exponent = kHcOverK / (wavelength.m() * temperature.kelvin());
    return std::pow(wavelength.um(), -4.0) / std::expm1(exponent);
  };
  const double middle = photons(Length::nm(550.0));
  return SpectralCurve::of([&](Length wavelength) { return photons(wavelength) / middle; });
}

SpectralCurve sunlight() { return black_body_photons(Temperature::kelvin(5772.0)); }

SpectralCurve reflectance(BodyColour body) {
  switch (body) {
    case BodyColour::grey:
      break;
    case BodyColour::moon:
      return SpectralCurve::through({{300, 0.55},
                                     {400, 0.72},
                                     {450, 0.83},
                                     {500, 0.92},
                                     {550, 1.00},
                                     {600, 1.08},
                                     {650, 1.15},
                                     {700, 1.22},
                                     {800, 1.36},
                                     {900, 1.42},
                                     {1000, 1.48},
                                     {1100, 1.55}});
    case BodyColour::mercury:
      return SpectralCurve::through({{300, 0.50},
                                     {400, 0.70},
                                     {450, 0.81},
                                     {500, 0.91},
                                     {550, 1.00},
                                     {600, 1.09},
                                     {650, 1.18},
                                     {700, 1.27},
                                     {800, 1.42},
                                     {900, 1.54},
                                     {1000, 1.64},
                                     {1100, 1.72}});
    case BodyColour::venus:
      return SpectralCurve::through(
          {{300, 0.55}, {350, 0.58}, {400, 0.78}, {450, 0.92}, {500, 0.98}, {550, 1.00}, {700, 1.03}, {1100, 1.04}});
    case BodyColour::mars:
      return SpectralCurve::through({{300, 0.28},
                                     {400, 0.33},
                                     {450, 0.42},
                                     {500, 0.60},
                                     {550, 1.00},
                                     {580, 1.45},
                                     {600, 1.72},
                                     {650, 2.05},
                                     {700, 2.25},
                                     {750, 2.35},
                                     {800, 2.30},
                                     {900, 2.15},
                                     {1000, 2.20},
                                     {1100, 2.25}});
    case BodyColour::jupiter:
      return SpectralCurve::through({{300, 0.50}, {350, 0.58}, {400, 0.72},  {450, 0.86},  {500, 0.95}, {550, 1.00},
                                     {600, 1.00}, {610, 1.00}, {620, 0.92},  {630, 1.00},  {680, 1.00}, {705, 0.92},
                                     {727, 0.58}, {750, 0.95}, {780, 0.85},  {800, 0.80},  {830, 0.95}, {860, 0.60},
                                     {890, 0.15}, {940, 0.80}, {1000, 0.35}, {1060, 0.75}, {1100, 0.60}});
    case BodyColour::saturn:
      return SpectralCurve::through({{300, 0.36}, {350, 0.40}, {400, 0.52},  {450, 0.72},  {500, 0.90}, {550, 1.00},
                                     {600, 1.07}, {610, 1.08}, {620, 1.00},  {630, 1.10},  {680, 1.12}, {705, 1.05},
                                     {727, 0.62}, {750, 1.10}, {780, 1.00},  {800, 0.95},  {830, 1.12}, {860, 0.72},
                                     {890, 0.22}, {940, 0.98}, {1000, 0.45}, {1060, 0.90}, {1100, 0.65}});
    case BodyColour::uranus:
      return SpectralCurve::through({{300, 1.00}, {400, 1.08}, {450, 1.12},  {500, 1.12}, {530, 1.05}, {543, 0.95},
                                     {550, 1.00}, {560, 1.02}, {576, 0.80},  {595, 0.82}, {619, 0.38}, {640, 0.58},
                                     {668, 0.45}, {702, 0.25}, {727, 0.08},  {750, 0.32}, {795, 0.10}, {830, 0.20},
                                     {890, 0.02}, {940, 0.10}, {1000, 0.02}, {1100, 0.02}});
    case BodyColour::neptune:
      return SpectralCurve::through({{300, 1.05}, {400, 1.18}, {450, 1.20},  {500, 1.15}, {530, 1.06}, {543, 0.94},
                                     {550, 1.00}, {560, 0.98}, {576, 0.75},  {595, 0.76}, {619, 0.33}, {640, 0.50},
                                     {668, 0.38}, {702, 0.22}, {727, 0.07},  {750, 0.28}, {795, 0.09}, {830, 0.18},
                                     {890, 0.02}, {940, 0.09}, {1000, 0.02}, {1100, 0.02}});
  }
  return SpectralCurve::flat(1.0);
}

SpectralCurve body_light(BodyColour body) { return sunlight() * reflectance(body); }

}  // namespace halfarc
