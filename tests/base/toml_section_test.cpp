#include "halfarc/base/toml_section.h"

#include <gtest/gtest.h>

#include <functional>

namespace halfarc {
namespace {

// What is said of a file when it is read so.
std::string complaint(std::string_view text, const std::function<void(TomlSection&)>& read) {
  const Result<TomlFile> file = TomlFile::parse(text, "rig.toml", "edit it");
  if (!file) return file.error().line();
  TomlSection top = file->top();
  read(top);
  top.done();
  const Result<void> verdict = file->verdict();
  return verdict ? "" : verdict.error().line();
}

TEST(TomlSection, ReadsWhatIsThereAndLeavesTheRest) {
  double length = 3.0, other = 4.0;
  std::int64_t bits = 12;
  bool fan = false;
  std::string name = "usual";
  std::array<double, 2> pair{};
  std::size_t kind = 0;
  constexpr std::array<std::string_view, 3> kKinds = {"a", "b", "c"};
  const std::string said = complaint(
      "length = 5\nbits = 14\nfan = true\nname = \"mine\"\npair = [1, 2.5]\nkind = \"c\"\n[inner]\nkey = 1.5\n",
      [&](TomlSection& top) {
        top.number_within("length", 0.0, 10.0, length);
        top.number("other", other);
        top.whole("bits", 8, 16, bits);
        top.flag("fan", fan);
        top.text("name", name);
        top.numbers("pair", pair);
        top.choice("kind", kKinds, kind);
        TomlSection inner = top.section("inner");
        inner.number("key", other);
        inner.done();
        top.section("absent").number("key", length);
      });
  EXPECT_EQ(said, "");
  EXPECT_EQ(length, 5.0);
  EXPECT_EQ(other, 1.5);
  EXPECT_EQ(bits, 14);
  EXPECT_TRUE(fan);
  EXPECT_EQ(name, "mine");
  EXPECT_EQ(pair[1], 2.5);
  EXPECT_EQ(kind, 2U);
}

TEST(TomlSection, SaysWhatIsWrongWhereAndWhatToDo) {
  double number = 1.0;
  const auto read = [&](TomlSection& top) {
    top.number("plain", number);
    top.number_within("length_mm", -2.5, 1000.0, number);
    for (TomlSection& part : top.sections("part").value_or(std::vector<TomlSection>())) {
      std::size_t kind = 0;
      constexpr std::array<std::string_view, 3> kKinds = {"spacer", "filter", "camera"};
      part.choice("kind", kKinds, kind);
      part.done();
    }
  };
  EXPECT_EQ(complaint("\nlength_mm = 1001\n", read),
            "rig.toml, line 2: length_mm must be a number from -2.5 to 1000; edit it");
  EXPECT_EQ(complaint("length_mm = nan\n", read),
            "rig.toml, line 1: length_mm must be a number from -2.5 to 1000; edit it");
  EXPECT_EQ(complaint("plain = inf\n", read), "rig.toml, line 1: plain must be a number; edit it");
  EXPECT_EQ(complaint("[[part]]\nkind = \"filter\"\n[[part]]\nkind = \"cork\"\n", read),
            "rig.toml, line 4: part.kind must be \"spacer\", \"filter\" or \"camera\"; edit it");
  EXPECT_EQ(complaint("part = 3\n", read),
            "rig.toml, line 1: part must be a list of sections, written [[part]]; edit it");
  EXPECT_EQ(complaint("[[part]]\nlenght = 3\n", read),
            "rig.toml, line 2: part.lenght is not a key halfarc knows; the keys here are kind");
  EXPECT_NE(complaint("plain = \n", read).find("rig.toml, line 1: "), std::string::npos);
}

TEST(TomlSection, KeepsTheFirstComplaintOnly) {
  EXPECT_EQ(complaint("a = 1\n",
                      [](TomlSection& top) {
                        top.refuse("a", "must be odder");
                        top.require("b");
                      }),
            "rig.toml, line 1: a must be odder; edit it");
  EXPECT_EQ(complaint("", [](TomlSection& top) { top.require("b"); }), "rig.toml: the key b is missing; edit it");
}

}  // namespace
}  // namespace halfarc
