#include "halfarc/app/train_drawing.h"

#include <gtest/gtest.h>

#include <regex>
#include <string>
#include <vector>

#include "halfarc/app/rig_file.h"

namespace halfarc {
namespace {

std::string drawn(const Rig& rig) {
  const auto answer = solve_train({rig, {}, {}, {}});
  EXPECT_TRUE(answer) << answer.error().line();
  return answer ? train_drawing(*answer) : "";
}

struct Words {
  double left, right, y;
  std::string text;
};

// Where each text stands, by the widths of usual letters of that size (0.52 of their height, bold 0.57).
std::vector<Words> words_of(const std::string& svg) {
  const std::regex text("<text class='([a-z ]*)' x='([-0-9.]+)' y='([-0-9.]+)'>([^<]*)</text>");
  std::vector<Words> found;
  for (auto it = std::sregex_iterator(svg.begin(), svg.end(), text); it != std::sregex_iterator(); ++it) {
    const std::string style = (*it)[1];
    const double x = std::stod((*it)[2]);
    const double letter = style[0] == 't' ? 17.0 * 0.57 : style[0] == 'n' ? 12.0 * 0.57 : 10.5 * 0.52;
    const double width = letter * static_cast<double>((*it)[4].length());
    const double left = style.ends_with(" m") ? x - width / 2.0 : style.ends_with(" e") ? x - width : x;
    found.push_back({left, left + width, std::stod((*it)[3]), (*it)[4]});
  }
  return found;
}

void expect_no_overlap(const std::string& svg) {
  const auto words = words_of(svg);
  EXPECT_GT(words.size(), 8U);
  for (std::size_t i = 0; i < words.size(); ++i) {
    EXPECT_GT(words[i].left, 0.0) << words[i].text;
    EXPECT_LT(words[i].right, 960.0) << words[i].text;
    for (std::size_t j = 0; j < i; ++j) {
      const bool apart =
          std::abs(words[i].y - words[j].y) > 9.0 || words[i].left > words[j].right || words[j].left > words[i].right;
      EXPECT_TRUE(apart) << words[i].text << " over " << words[j].text;
    }
  }
}

Rig with_rings(std::size_t count, const std::string& length_mm) {
  Rig rig = example_rig();
  for (std::size_t i = 0; i < count; ++i) {
    const std::string name = "adapter ring number " + std::to_string(i);
    EXPECT_TRUE(add_part(rig, "kind=spacer,length_mm=" + length_mm + ",name=" + name, 3));
  }
  return rig;
}

TEST(TrainDrawing, NoTwoLabelsOverlapFromTwoPartsToNine) {
  expect_no_overlap(drawn(*parse_rig_file("[[part]]\nkind = \"spacer\"\nlength_mm = 109.5\n", "rig.toml")));
  expect_no_overlap(drawn(example_rig()));
  for (std::size_t rings = 1; rings <= 4; ++rings) {
    expect_no_overlap(drawn(with_rings(rings, "2")));
    expect_no_overlap(drawn(with_rings(rings, "35")));
  }
}

TEST(TrainDrawing, EveryKindOfTelescopeIsDrawn) {
  for (const std::string kind : {"sct", "maksutov", "newtonian", "refractor"}) {
    const Result<Rig> rig = parse_rig_file("[telescope]\nkind = \"" + kind +
                                               "\"\n[[part]]\nkind = \"diagonal\"\nlength_mm = 60\n"
                                               "glass_mm = 30\n",
                                           "rig.toml");
    ASSERT_TRUE(rig) << rig.error().line();
    expect_no_overlap(drawn(*rig));
  }
}

// 2 mm of filter glass are 2/17.5 of the depth of the camera, wherever the scale puts them.
TEST(TrainDrawing, IsToScale) {
  const std::string svg = drawn(example_rig());
  std::smatch glass, total;
  ASSERT_TRUE(std::regex_search(svg, glass, std::regex("<rect class='glass' x='([0-9.]+)'[^>]* width='([0-9.]+)'")));
  ASSERT_TRUE(
      std::regex_search(svg, total, std::regex("<line class='thin' x1='([0-9.]+)' y1='[0-9.]+' x2='([0-9.]+)'")));
  const double px_per_mm = (std::stod(total[2]) - std::stod(total[1])) / 200.2;
  EXPECT_NEAR(std::stod(glass[2]) / px_per_mm, 2.0, 0.05);
  EXPECT_NEAR((std::stod(glass[1]) - std::stod(total[1])) / px_per_mm, 177.7, 0.1);
}

TEST(TrainDrawing, NamesMayHoldAnything) {
  Rig rig = example_rig();
  rig.train.parts[0].name = "2\" <back> & 'co' with a name beyond all measure";
  const std::string svg = drawn(rig);
  EXPECT_EQ(svg.find("<back>"), std::string::npos);
  EXPECT_NE(svg.find("2&quot; &lt;back&gt;"), std::string::npos);
}

}  // namespace
}  // namespace halfarc
