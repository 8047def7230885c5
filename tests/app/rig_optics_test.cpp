#include "halfarc/app/rig_optics.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

TEST(RigOptics, IsThatOfTheExampleRig) {
  const Rig rig = example_rig();
  const auto train = solve(rig);
  ASSERT_TRUE(train);
  const ClipOptics optics = clip_optics(rig, *train);
  EXPECT_NEAR(optics.pupil.diameter.mm(), 203.0, 1e-9);
  EXPECT_NEAR(optics.pupil.obstruction, 0.34, 1e-9);
  EXPECT_NEAR(optics.scale.arcsec_per_px(), 0.1753, 0.0007);
  EXPECT_GT(optics.wavelength.nm(), 510.0);  // the green plane of a colour camera
  EXPECT_LT(optics.wavelength.nm(), 560.0);
  // An even band as wide as a third of what parts blue and red has a tenth of it; a sensor's green has long tails.
  EXPECT_GT(optics.smear_share, 0.1);
  EXPECT_LT(optics.smear_share, 0.4);
}

}  // namespace
}  // namespace halfarc
