#include "halfarc/app/label_row.h"

#include <algorithm>
#include <cstddef>

namespace halfarc {
namespace {

// Labels that stand side by side.
struct Group {
  double left = 0.0;
  double width = 0.0;
  double wishes = 0.0;  // sum of where each label would have the group begin
  std::size_t count = 0;

  void settle(double from, double to) {
    left = std::max(from, std::min(wishes / static_cast<double>(count), to - width));
  }
};

}  // namespace

std::vector<double> label_middles(const std::vector<Label>& labels, double left, double right) {
  std::vector<Group> groups;
  for (const Label& label : labels) {
    groups.push_back({0.0, label.width, label.wish - label.width / 2.0, 1});
    groups.back().settle(left, right);
    while (groups.size() > 1 && groups[groups.size() - 2].left + groups[groups.size() - 2].width > groups.back().left) {
      const Group last = groups.back();
      groups.pop_back();
      Group& before = groups.back();
      before.wishes += last.wishes - static_cast<double>(last.count) * before.width;
      before.width += last.width;
      before.count += last.count;
      before.settle(left, right);
    }
  }
  std::vector<double> middles;
  std::size_t next = 0;
  for (const Group& group : groups) {
    double at = group.left;
    for (std::size_t i = 0; i < group.count; ++i, ++next) {
      middles.push_back(at + labels[next].width / 2.0);
      at += labels[next].width;
    }
  }
  return middles;
}

}  // namespace halfarc
