#include "figures.h"

#include <cmath>

namespace halfarc::accuracy {
namespace {

// The quantile of chi-square over its degrees of freedom, for a normal deviate.
double chi_square_over_n(double n, double deviate) {
  const double spread = 2.0 / (9.0 * n);
  return std::pow(std::max(0.0, 1.0 - spread + deviate * std::sqrt(spread)), 3);
}

}  // namespace

Figures figures_of(std::span<const Trial> trials, double bar) {
  Figures figures;
  figures.trials = trials.size();
  const auto n = static_cast<double>(trials.size());
  for (const Trial& t : trials) {
    figures.bias += t.error / n;
    figures.rms += t.error * t.error / n;
    figures.stated += t.sigma * t.sigma / n;
    figures.z2 += t.error * t.error / (t.sigma * t.sigma) / n;
    figures.within += (std::abs(t.error) <= bar ? 1.0 : 0.0) / n;
  }
  const double variance = std::max(0.0, figures.rms - figures.bias * figures.bias);
  figures.bias_sigma = std::sqrt(variance / std::max(1.0, n - 1.0));
  figures.rms = std::sqrt(figures.rms);
  figures.stated = std::sqrt(figures.stated);
  return figures;
}

Verdict judge(const Figures& figures, const Bar& bar) {
  if (bar.limit <= 0.0) return Verdict::unpromised;
  const bool held = bar.share > 0.0 ? figures.within >= bar.share : figures.rms <= bar.limit;
  return held ? Verdict::held : Verdict::missed;
}

bool clearly_missed(const Figures& figures, const Bar& bar) {
  if (judge(figures, bar) != Verdict::missed) return false;
  const auto n = static_cast<double>(figures.trials);
  if (bar.share > 0.0) return figures.within < bar.share - 3.0 * std::sqrt(bar.share * (1.0 - bar.share) / n);
  return figures.rms > bar.limit * std::sqrt(chi_square_over_n(n, 3.0));
}

bool clearly_dishonest(const Figures& figures) {
  constexpr double kOneInThousand = 3.29;  // normal deviate, both sides
  const auto n = static_cast<double>(figures.trials);
  return figures.z2 > chi_square_over_n(n, kOneInThousand) || figures.z2 < chi_square_over_n(n, -kOneInThousand);
}

}  // namespace halfarc::accuracy
