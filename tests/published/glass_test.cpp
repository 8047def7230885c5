// Glass catalogue values and thin prisms: [Schott2017], [Malitson1965].
#include "halfarc/optics/glass.h"

#include <gtest/gtest.h>

#include "halfarc/base/angle.h"

namespace halfarc {
namespace {

struct Row {
  const char* name;
  double d;
  double abbe;
};

// [Schott2017] catalogue values; fused silica: [Malitson1965], n_d and V_d from memory.
TEST(GlassCatalogue, IndexAtTheHeliumLineAndAbbeNumber) {
  constexpr Row kRows[] = {{"N-BK7", 1.51680, 64.17},       {"N-K5", 1.52249, 59.48},   {"F2", 1.62004, 36.37},
                           {"N-F2", 1.62005, 36.43},        {"N-SF11", 1.78472, 25.68}, {"SF11", 1.78472, 25.76},
                           {"fused silica", 1.45846, 67.82}};
  EXPECT_EQ(std::size(kRows), glasses().size());
  for (const Row& row : kRows) {
    const Glass glass = find_glass(row.name).value();
    EXPECT_NEAR(index_at_d(glass), row.d, 5e-6) << row.name;
    EXPECT_NEAR(abbe_number(glass), row.abbe, 0.005) << row.name;
  }
}

struct Line {
  const char* name;
  double um_in_air;
  double index;
};

// N-BK7 at the standard lines, to the five decimals of the catalogue sheet ([Schott2017]; from memory).
TEST(GlassCatalogue, CrownAtTheStandardLines) {
  constexpr Line kLines[] = {{"i", 0.3650146, 1.53627},  {"h", 0.4046561, 1.53024},  {"g", 0.4358343, 1.52668},
                             {"F'", 0.4799914, 1.52283}, {"F", 0.4861327, 1.52238},  {"e", 0.5460740, 1.51872},
                             {"d", 0.5875618, 1.51680},  {"C'", 0.6438469, 1.51472}, {"C", 0.6562725, 1.51432},
                             {"r", 0.7065188, 1.51289},  {"s", 0.8521100, 1.50980},  {"t", 1.0139800, 1.50731}};
  for (const Line& line : kLines) {
    const Length vacuum = vacuum_wavelength(Length::um(line.um_in_air));
    EXPECT_NEAR(refractive_index(find_glass("N-BK7").value(), vacuum), line.index, 6e-6) << line.name;
  }
}

struct Prism {
  const char* name;
  double deviation_deg;
  double f_to_c_arcsec;
  double visible_arcsec;
};

// A thin prism of 2 degrees deviates by (n - 1) 2 deg. Computed from the catalogue's coefficients by a program of its
// own; the wavelengths, 0.40 to 0.70 um for the last column, are in air.
TEST(ThinPrism, OfTwoDegreesDeviatesAndDisperses) {
  constexpr Prism kPrisms[] = {
      {"N-BK7", 1.0336, 57.99, 128.05}, {"N-F2", 1.2401, 122.54, 286.63}, {"N-SF11", 1.5694, 220.01, 530.43}};
  for (const Prism& prism : kPrisms) {
    const Glass glass = find_glass(prism.name).value();
    const auto deviation = [&](double um) {
      return (refractive_index(glass, vacuum_wavelength(Length::um(um))) - 1.0) * Angle::deg(2.0);
    };
    EXPECT_NEAR(deviation(0.5875618).deg(), prism.deviation_deg, 5e-5) << prism.name;
    EXPECT_NEAR((deviation(0.4861327) - deviation(0.6562725)).arcsec(), prism.f_to_c_arcsec, 0.006) << prism.name;
    EXPECT_NEAR((deviation(0.40) - deviation(0.70)).arcsec(), prism.visible_arcsec, 0.006) << prism.name;
  }
}

}  // namespace
}  // namespace halfarc
