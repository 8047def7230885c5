// Budget: all blurs side by side in one currency, what is left after all of them, and what mending each would gain.
//
// Causes act one after another, so what is left is the product of their transfer functions, direction by direction.
// The exception is the pupil: two errors of the same wavefront do not multiply; give them as one blur when both are
// large (above about a quarter wave each). The rows stand in the order of what mending them gains.
#pragma once

#include <vector>

#include "halfarc/base/angle.h"
#include "halfarc/base/measured.h"
#include "halfarc/budget/blur.h"

namespace halfarc {

struct BudgetRow {
  Blur blur;
  Measured<double> half_arc_contrast;
  Measured<Angle> fwhm;  // equivalent
  double gain = 0.0;     // how much more contrast half-arc detail would have without it: 0.1 is a tenth more
};

struct Budget {
  std::vector<BudgetRow> rows;  // the greatest gain first; diffraction, which nobody mends, last
  Measured<double> half_arc_contrast;
  Measured<Angle> fwhm;
};

// Valid: any number of blurs. Accuracy: that of the blurs; 3 % of the product against the simulator for mixed causes
// (tests/budget). Errors of different blurs are taken as independent.
Budget budget_of(std::vector<Blur> blurs);

// What is left at any frequency, in the mean over directions; blurs that are undone afterwards do not count.
double total_contrast(const Budget& budget, SpatialFrequency frequency);

}  // namespace halfarc
