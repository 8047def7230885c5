#include "halfarc/report/session.h"

#include <algorithm>
#include <utility>

namespace halfarc {
namespace {

constexpr double kWorthSaying = 0.02;

NextTime next_of(const SessionCause& cause, const std::string& target) {
  const Measured<double> left = cause.measured ? *cause.measured : cause.predicted.value_or(Measured<double>{1.0, 0.0});
  const bool sure = 1.0 - left.value > left.sigma;
  return {cause.cause, cause.remedy, target, *cause.gain, sure, cause.measured.has_value()};
}

}  // namespace

std::vector<NextTime> next_time(const std::vector<SessionBudget>& budgets) {
  std::vector<NextTime> found;
  for (const SessionBudget& budget : budgets) {
    for (const SessionCause& cause : budget.causes) {
      if (!cause.gain || *cause.gain < kWorthSaying || cause.remedy.empty()) continue;
      NextTime next = next_of(cause, budget.target);
      const auto same =
          std::find_if(found.begin(), found.end(), [&](const NextTime& n) { return n.cause == next.cause; });
      if (same == found.end()) {
        found.push_back(std::move(next));
      } else if (next.gain > same->gain) {
        *same = std::move(next);
      }
    }
  }
  std::stable_sort(found.begin(), found.end(), [](const NextTime& a, const NextTime& b) { return a.gain > b.gain; });
  return found;
}

}  // namespace halfarc
