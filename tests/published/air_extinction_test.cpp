// What clear air takes away against published values.
#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "halfarc/air/extinction.h"

namespace halfarc {
namespace {

// [Green1992] after [HayesLatham1975], sea level, 510 nm: 0.1451 (molecules), 0.120 (haze), 0.016 (ozone), 0.28 in all.
TEST(Extinction, SeaLevelFiguresOfGreen1992) {
  const Extinction at = extinction(Length::nm(510.0), Length::m(0.0));
  EXPECT_NEAR(at.molecules, 0.1451, 5e-5);
  EXPECT_NEAR(at.haze, 0.120, 1e-9);
  EXPECT_NEAR(at.ozone, 0.016, 0.004);
  EXPECT_NEAR(at.total(), 0.28, 0.005);
}

// [Bodhaine1999] eq. 30, the optical depth of molecules at sea level (from memory), an independent later work.
TEST(Extinction, DepthOfMoleculesOfBodhaine1999) {
  for (const double um : {0.35, 0.40, 0.50, 0.55, 0.70, 0.90}) {
    const double s = 1.0 / (um * um);
    const double published =
        0.0021520 * (1.0455996 - 341.29061 * s - 0.90230850 / s) / (1.0 + 0.0027059889 * s - 85.968563 / s);
    const double ours = extinction(Length::um(um), Length::m(0.0)).molecules / 1.0857362;
    EXPECT_NEAR(ours / published, 1.0, 0.02) << um;
  }
}

// Palomar mountain, 1706 m, magnitudes per airmass by wavelength in Angstrom, as an observatory's page lists them.
TEST(Extinction, CurveOfPalomar) {
  struct Row {
    double angstrom, magnitudes;
  };
  const std::vector<Row> rows = {{3200, 1.125}, {3300, 0.867}, {3400, 0.746}, {3500, 0.650}, {3600, 0.585},
                                 {3800, 0.485}, {4000, 0.385}, {4200, 0.316}, {4400, 0.267}, {4600, 0.225},
                                 {4800, 0.197}, {5000, 0.178}, {5200, 0.167}, {5400, 0.156}, {5600, 0.150},
                                 {5800, 0.145}, {6000, 0.127}, {6200, 0.102}, {6500, 0.085}, {6980, 0.074}};
  for (const Row& row : rows) {
    const double ours = extinction(Length::nm(row.angstrom / 10.0), Length::m(1706.0)).total();
    EXPECT_NEAR(ours, row.magnitudes, row.angstrom < 4000 ? 0.04 : 0.016) << row.angstrom;
  }
}

}  // namespace
}  // namespace halfarc
