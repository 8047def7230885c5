#include "halfarc/app/home.h"

#include <gtest/gtest.h>

#include "halfarc/base/atomic_file.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

TEST(Home, IsWhereTheEnvironmentSays) {
  EXPECT_EQ(home_folder({"night", "/data", "/o"}), "night");
  EXPECT_EQ(home_folder({"", "/data", "/o"}), "/data/halfarc");
  EXPECT_EQ(home_folder({"", "", "/o"}), "/o/.local/share/halfarc");
  // Source: XDG Base Directory Specification: relative paths are to be ignored.
  EXPECT_EQ(home_folder({"", "data", "/o"}), "/o/.local/share/halfarc");
  EXPECT_TRUE(home_folder({}).empty());
}

TEST(Home, ReadsASite) {
  const auto named =
      parse_site_file("# here\nname = \"Garden\"\nlatitude_deg = -33\nlongitude_deg = 289.5\nheight_m = 2400.5\n", "s");
  ASSERT_TRUE(named.has_value()) << named.error().line();
  EXPECT_EQ(named->name, "Garden");
  EXPECT_NEAR(named->site.latitude.deg(), -33.0, 1e-12);
  EXPECT_NEAR(named->site.longitude.deg(), -70.5, 1e-9);
  EXPECT_NEAR(named->site.height.m(), 2400.5, 1e-12);
  const auto least = parse_site_file("latitude_deg = 1\nlongitude_deg = 2\n", "s");
  ASSERT_TRUE(least.has_value());
  EXPECT_EQ(least->name, "");
  EXPECT_EQ(least->site.height.m(), 0.0);
}

TEST(Home, RefusesABrokenSiteAndNamesTheLine) {
  const struct {
    const char* text;
    const char* what;
  } cases[] = {{"latitude_deg = 1\nlongitude_deg == 2\n", "s, line 2"},
               {"longitude_deg = 2\n", "latitude_deg is missing"},
               {"latitude_deg = 1\n", "longitude_deg is missing"},
               {"latitude_deg = \"57 N\"\nlongitude_deg = 2\n", "s, line 1: latitude_deg must be a number"},
               {"latitude_deg = nan\nlongitude_deg = 2\n", "s, line 1: latitude_deg must be a number"},
               {"latitude_deg = 91\nlongitude_deg = 2\n", "s, line 1: latitude_deg must be a number"},
               {"latitude_deg = 1\nlongitude_deg = -181\n", "s, line 2: longitude_deg must be"},
               {"latitude_deg = 1\nlongitude_deg = 2\nheight_m = 9001\n", "s, line 3: height_m must be"},
               {"latitude_deg = 1\nlongitude_deg = 2\nname = 3\n", "s, line 3: name must be text"},
               {"latitude_deg = 1\nlongitude_deg = 2\n\naltitude = 3\n", "s, line 4: altitude is not a key"}};
  for (const auto& c : cases) {
    const auto named = parse_site_file(c.text, "s");
    ASSERT_FALSE(named.has_value()) << c.text;
    EXPECT_EQ(named.error().kind, ErrorKind::bad_input);
    EXPECT_NE(named.error().line().find(c.what), std::string::npos) << named.error().line();
  }
}

TEST(Home, FilesThatAreNotThereSayNothing) {
  const ScratchFolder folder;
  for (const std::filesystem::path& home : {folder.path(), folder / "nowhere", std::filesystem::path()}) {
    const auto site = site_of_home(home);
    ASSERT_TRUE(site.has_value());
    EXPECT_FALSE(site->has_value());
    const auto horizon = horizon_of_home(home);
    ASSERT_TRUE(horizon.has_value());
    EXPECT_FALSE(horizon->has_value());
    const auto features = features_of_home(home);
    ASSERT_TRUE(features.has_value());
    EXPECT_TRUE(features->empty());
  }
}

TEST(Home, FilesThatAreThereAreRead) {
  const ScratchFolder folder;
  ASSERT_TRUE(write_file(folder / "site.toml", "latitude_deg = 57.1\nlongitude_deg = -2.1\n"));
  ASSERT_TRUE(write_file(folder / "horizon.csv", "10,20,roof,yes\n"));
  ASSERT_TRUE(write_file(folder / "features.csv", "Red Spot,Jupiter,62.5,II,0.05,2026-11-20\n"));
  EXPECT_NEAR(site_of_home(folder.path()).value()->site.latitude.deg(), 57.1, 1e-12);
  EXPECT_NEAR(horizon_of_home(folder.path()).value()->altitude(Angle::deg(10.0)).deg(), 20.0, 1e-9);
  EXPECT_EQ(features_of_home(folder.path()).value().front().name, "Red Spot");
  std::filesystem::remove(folder / "horizon.csv");
  std::filesystem::create_directory(folder / "horizon.csv");
  EXPECT_FALSE(horizon_of_home(folder.path()).has_value());
}

}  // namespace
}  // namespace halfarc
