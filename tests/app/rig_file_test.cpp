#include "halfarc/app/rig_file.h"

#include <gtest/gtest.h>

#include <string>

namespace halfarc {
namespace {

std::string complaint(const std::string& text) {
  const Result<Rig> rig = parse_rig_file(text, "rig.toml");
  return rig ? "" : rig.error().line();
}

TEST(RigFile, TheExampleIsOurScenario) {
  const Result<Rig> rig = parse_rig_file(example_rig_text(), "rig.toml");
  ASSERT_TRUE(rig) << rig.error().line();
  EXPECT_EQ(rig->telescope.kind, TelescopeKind::schmidt_cassegrain);
  EXPECT_NEAR(rig->telescope.focal_length.mm(), 2030.0, 1e-9);
  EXPECT_EQ(rig->train.parts.size(), 5U);
  ASSERT_TRUE(rig->corrector);
  EXPECT_EQ(rig->corrector->scale.highest, 10.0);
  EXPECT_FALSE(rig->knob_sense_known);
}

TEST(RigFile, AnEmptyFileIsATelescopeWithACamera) {
  const Result<Rig> rig = parse_rig_file("", "rig.toml");
  ASSERT_TRUE(rig) << rig.error().line();
  EXPECT_EQ(rig->train.parts.size(), 1U);
  EXPECT_FALSE(rig->corrector);
}

TEST(RigFile, KnowsTheFourKindsOfTelescope) {
  for (const std::string kind : {"sct", "maksutov", "newtonian", "refractor"}) {
    const Result<Rig> rig = parse_rig_file("[telescope]\nkind = \"" + kind + "\"\n", "rig.toml");
    ASSERT_TRUE(rig) << rig.error().line();
    EXPECT_EQ(rig->telescope.mirrors.has_value(), kind == "sct" || kind == "maksutov");
  }
  const Result<Rig> fast =
      parse_rig_file("[telescope]\nkind = \"newtonian\"\naperture_mm = 300\nfocal_ratio = 4\n", "r");
  ASSERT_TRUE(fast);
  EXPECT_NEAR(fast->telescope.focal_length.mm(), 1200.0, 1e-9);
}

TEST(RigFile, SaysWhatIsWrongAndWhere) {
  EXPECT_EQ(complaint("[telescope]\naperture_mm = \"big\"\n").substr(0, 45),
            "rig.toml, line 2: telescope.aperture_mm must ");
  EXPECT_NE(complaint("[telescope]\nkind = \"spyglass\"\n").find("\"sct\", \"maksutov\""), std::string::npos);
  EXPECT_NE(complaint("[telescope]\nfocal_ratio = 5\nprimary_ratio = 4.5\n").find("well below"), std::string::npos);
  EXPECT_NE(complaint("[[part]]\nkind = \"spacer\"\n").find("part.length_mm is missing"), std::string::npos);
  EXPECT_NE(complaint("[[part]]\nkind = \"cork\"\nlength_mm = 3\n").find("part.kind must be"), std::string::npos);
  EXPECT_NE(complaint("[[part]]\nkind = \"filter\"\nlength_mm = 3\npasses_nm = [700, 400]\n").find("the shorter first"),
            std::string::npos);
  EXPECT_NE(complaint("[camera]\npixel_um = 3.45\npixels = 3\n").find("line 3: camera.pixels is not a key"),
            std::string::npos);
  EXPECT_NE(complaint("[[part]]\nkind = \"spacer\"\nlength_mm = 3\n[[part]]\nkind = \"spacer\"\nlength_mm = 4\n")
                .find("line 5: part.kind is taken"),
            std::string::npos);
}

TEST(RigFile, MassesAndTheAxisAreReadAndMayBeUnknown) {
  const Rig rig = example_rig();
  EXPECT_EQ(rig.mount.axis_before_port.mm(), 200.0);
  for (const Part& part : rig.train.parts) EXPECT_GT(part.mass_g, 0.0) << part.name;
  const Result<Rig> bare = parse_rig_file("[telescope]\nkind = \"newtonian\"\n", "rig.toml");
  ASSERT_TRUE(bare) << bare.error().line();
  EXPECT_EQ(bare->train.parts.back().mass_g, 0.0);
  EXPECT_TRUE(bare->mount.aside);
  EXPECT_LT(bare->mount.axis_before_port, Length());
  EXPECT_NE(complaint("[camera]\nmass_g = -5\n").find("camera.mass_g must"), std::string::npos);
}

TEST(RigFile, PartsComeAndGoByTheirWords) {
  Rig rig = example_rig();
  ASSERT_TRUE(add_part(rig, "kind=spacer,name=ring,length_mm=20", 4));
  EXPECT_EQ(rig.train.parts[4].name, "ring");
  EXPECT_FALSE(add_part(rig, "kind=spacer,name=ring,length_mm=20", 4));
  EXPECT_FALSE(add_part(rig, "ring", 4));
  EXPECT_FALSE(add_part(rig, "kind=spacer,lenght_mm=20", 4));
  EXPECT_FALSE(add_part(rig, "kind=corrector,name=second,length_mm=20", 4));
  EXPECT_EQ(rig.filters.size(), 1U);
  ASSERT_TRUE(remove_part(rig, "UV/IR cut"));
  EXPECT_TRUE(rig.filters.empty());
  ASSERT_TRUE(add_part(rig, "kind=filter,length_mm=5,passes_nm=[685,1100],name=infrared", 3));
  EXPECT_EQ(rig.filters.at(0).part, "infrared");
  ASSERT_TRUE(remove_part(rig, "corrector"));
  EXPECT_FALSE(rig.corrector);
  EXPECT_FALSE(remove_part(rig, "corrector"));
  ASSERT_TRUE(add_part(rig, "kind=corrector,name=second,length_mm=30,prism_deg=4", 1));
  ASSERT_TRUE(rig.corrector);
  EXPECT_NEAR(rig.corrector->apex.deg(), 4.0, 1e-12);
}

}  // namespace
}  // namespace halfarc
