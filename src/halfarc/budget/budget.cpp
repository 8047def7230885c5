#include "halfarc/budget/budget.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace halfarc {
namespace {

// The product over all blurs that count, but for `left_out`, with `moved` in place of one of them.
double product(const std::vector<BudgetRow>& rows, SpatialFrequency frequency, const BudgetRow* left_out = nullptr,
               const BudgetRow* moved_row = nullptr, const TransferFunction* moved = nullptr) {
  return mean_over_directions(
      [&](const SkyFrequency& f) {
        double left = 1.0;
        for (const BudgetRow& row : rows) {
          if (row.blur.undone || &row == left_out) continue;
          left *= &row == moved_row ? (*moved)(f) : row.blur.transfer(f);
        }
        return left;
      },
      frequency);
}

// By what the error of the contrast makes of the width; one-sided near no blur at all, where the width has no slope.
Measured<Angle> fwhm_of(const Measured<double>& contrast) {
  const Angle middle = equivalent_fwhm(contrast.value);
  const Angle more = equivalent_fwhm(contrast.value - contrast.sigma);
  return {middle, more - middle};
}

}  // namespace

Budget budget_of(std::vector<Blur> blurs) {
  Budget budget;
  for (Blur& blur : blurs) {
    const Measured<double> contrast = half_arc_contrast(blur);
    budget.rows.push_back({std::move(blur), contrast, fwhm_of(contrast), 0.0});
  }
  const double total = product(budget.rows, kHalfArc);
  double variance = 0.0;
  for (BudgetRow& row : budget.rows) {
    if (row.blur.undone) continue;
    if (total > 0.0) row.gain = product(budget.rows, kHalfArc, &row) / total - 1.0;
    for (const TransferFunction& moved : row.blur.moved)
      variance += std::pow(product(budget.rows, kHalfArc, nullptr, &row, &moved) - total, 2);
  }
  budget.half_arc_contrast = {total, std::sqrt(variance)};
  budget.fwhm = fwhm_of(budget.half_arc_contrast);
  std::stable_sort(budget.rows.begin(), budget.rows.end(), [](const BudgetRow& a, const BudgetRow& b) {
    const bool last_a = a.blur.cause == Cause::diffraction, last_b = b.blur.cause == Cause::diffraction;
    return last_a != last_b ? last_b : a.gain > b.gain;
  });
  return budget;
}

double total_contrast(const Budget& budget, SpatialFrequency frequency) { return product(budget.rows, frequency); }

}  // namespace halfarc
