// A row of labels beside a drawing: each as near to what it names as the others let it be.
#pragma once

#include <vector>

namespace halfarc {

struct Label {
  double wish = 0.0;   // where its middle would stand if it were alone
  double width = 0.0;  // with the space it wants around it
};

// Where the middles stand, in the order given, so that no two labels overlap and all lie between `left` and `right`:
// labels that would touch move together, so that the sum of the squares of their moves is least.
// Valid: labels that fit side by side; others overlap the right end. Source: pool adjacent violators (common practice).
std::vector<double> label_middles(const std::vector<Label>& labels, double left, double right);

}  // namespace halfarc
