#include "halfarc/simulate/optics_change.h"

#include <gtest/gtest.h>

#include "halfarc/optics/zernike.h"

namespace halfarc {
namespace {

OpticsChange knob_and_cooling() {
  OpticsChange change;
  change.per_minute = {0.6, 0.0, 0.0};
  change.moves.push_back(
      {Duration::s(10.0), Duration::s(2.0), {-1.0, 0.2, -0.4}, {Angle::arcsec(5.0), Angle::arcsec(0.0)}});
  return change;
}

TEST(OpticsChange, DriftsAndMovesAddUp) {
  const OpticsChange change = knob_and_cooling();
  EXPECT_NEAR(optics_change_at(change, Duration::s(5.0)).defocus_waves, 0.05, 1e-12);
  EXPECT_NEAR(optics_change_at(change, Duration::s(11.0)).defocus_waves, 0.11 - 0.5, 1e-12);
  EXPECT_NEAR(optics_change_at(change, Duration::s(60.0)).coma_y_waves, -0.4, 1e-12);
  EXPECT_NEAR(mirror_shift_at(change, Duration::s(11.0)).x.arcsec(), 2.5, 1e-12);
  EXPECT_NEAR(largest_change(change, Duration::s(60.0)).defocus_waves, 1.6, 1e-12);
}

// One wave of W rho^2 rises by one wave from the middle to the edge of the pupil, and coma likewise along its axis.
TEST(OpticsChange, WavefrontHasItsSizeAtTheEdge) {
  const LowOrders w = wavefront_of({1.0, 0.0, 0.5}, Length::nm(540.0));
  const auto at = [&](double x, double y) {
    double sum = 0.0;
    for (int j = LowOrders::kFirst; j <= LowOrders::kLast; ++j) sum += w.noll(j) * zernike(j, x, y);
    return sum / 540e-9;
  };
  EXPECT_NEAR(at(1.0, 0.0) - at(0.0, 0.0), 1.0, 1e-6);
  // Coma's own tilt, -2/3 of it, keeps its least-squares slope nil.
  EXPECT_NEAR(at(0.0, 1.0) - at(0.0, -1.0), 2.0 * 0.5 * (1.0 - 2.0 / 3.0), 1e-6);
}

TEST(LowOrders, TiltMovesTheImage) {
  const LowOrders w = tilt_of({Angle::arcsec(1.0), Angle::arcsec(-2.0)}, Length::mm(200.0));
  const auto at = [&](double x, double y) { return w.noll(2) * zernike(2, x, y) + w.noll(3) * zernike(3, x, y); };
  EXPECT_NEAR((at(1.0, 0.0) - at(-1.0, 0.0)) / 0.2, Angle::arcsec(1.0).rad(), 1e-15);
  EXPECT_NEAR((at(0.0, 1.0) - at(0.0, -1.0)) / 0.2, Angle::arcsec(-2.0).rad(), 1e-15);
}

}  // namespace
}  // namespace halfarc
