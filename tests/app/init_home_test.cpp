#include "halfarc/app/init_home.h"

#include <gtest/gtest.h>

#include "halfarc/app/rig_file.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

TEST(InitHome, TheSiteIsReadBackAsWritten) {
  for (const char* name : {"", "Kelderhaven", "the \"high\" garden", "a\\b # not a comment", "two\nlines", "Sødring"}) {
    const NamedSite site{name, {Angle::deg(-33.123456), Angle::deg(-70.5), Length::m(2400.5)}};
    const auto read = parse_site_file(site_file(site), "site.toml");
    ASSERT_TRUE(read.has_value()) << read.error().line();
    EXPECT_EQ(read->name, name);
    EXPECT_NEAR(read->site.latitude.deg(), -33.123456, 1e-6);
    EXPECT_NEAR(read->site.longitude.deg(), -70.5, 1e-6);
    EXPECT_NEAR(read->site.height.m(), 2400.5, 0.05);
  }
}

TEST(InitHome, EveryKindOfTelescopeComesToFocusWithItsTrain) {
  for (const TelescopeKind kind : {TelescopeKind::schmidt_cassegrain, TelescopeKind::maksutov, TelescopeKind::newtonian,
                                   TelescopeKind::refractor}) {
    const auto rig = parse_rig_file(rig_file(kind), "rig.toml");
    ASSERT_TRUE(rig) << rig.error().line();
    EXPECT_EQ(rig->telescope.kind, kind);
    EXPECT_EQ(rig->train.parts.size(), 5U);
    const auto train = solve(*rig);
    ASSERT_TRUE(train) << train.error().line();
    EXPECT_TRUE(train->in_reach) << rig->name << " " << train->back_focus.mm();
    EXPECT_NEAR(train->amplification, 2.0, 0.05) << rig->name;
  }
}

TEST(InitHome, WritesBothOrNothing) {
  const ScratchFolder folder;
  InitRequest request;
  request.home = folder / "a" / "b";
  ASSERT_TRUE(init_home(request).has_value());
  EXPECT_EQ(site_of_home(request.home).value()->name, "Kelderhaven");
  std::filesystem::remove(request.home / "site.toml");
  const auto refused = init_home(request);
  ASSERT_FALSE(refused.has_value());
  EXPECT_EQ(refused.error().kind, ErrorKind::bad_input);
  EXPECT_FALSE(std::filesystem::exists(request.home / "site.toml"));
  request.force = true;
  EXPECT_TRUE(init_home(request).has_value());
  EXPECT_FALSE(init_home({}).has_value());  // no home is known
}

}  // namespace
}  // namespace halfarc
