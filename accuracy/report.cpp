#include "report.h"

#include <fmt/format.h>

namespace halfarc::accuracy {
namespace {

std::string verdict_words(const Rung& rung, const Figures& figures) {
  const std::string bar = rung.bar.share > 0.0
                              ? fmt::format("{:.0f} % within {:g}", 100.0 * rung.bar.share, rung.bar.limit)
                              : fmt::format("{:g} rms", rung.bar.limit);
  switch (judge(figures, rung.bar)) {
    case Verdict::held:
      return bar + ": held";
    case Verdict::missed:
      return bar + ": **missed**";
    case Verdict::unpromised:
      break;
  }
  return "none";
}

}  // namespace

std::string report_head(const std::string& command) {
  return fmt::format(
      "# Accuracy\n\n"
      "Every reading and image judged against the truth of simulated recordings, through the same use cases that the\n"
      "commands run. Nothing here is edited by hand:\n\n"
      "```\n{}\n```\n\n"
      "How to read a row: *bias* is the mean error with its own standard error, *rms* the error itself, *stated* the\n"
      "standard error that the reading gave of itself, *z²* the mean square of error over stated error: 1 when what "
      "is\n"
      "stated is honest, above 1 when it is too bold, below 1 when it is too modest. *Refused* counts recordings that\n"
      "gave no reading. A simulated sky is kinder than a real one; real nights have still to confirm these figures.\n",
      command);
}

std::string table_head(const Ladder& ladder) {
  return fmt::format(
      "\n## {}\n\n{} Unit: {}.\n\n"
      "| conditions | trials | refused | bias | rms | stated | z² | bar |\n"
      "|---|---|---|---|---|---|---|---|\n",
      ladder.title, ladder.about, ladder.unit);
}

std::string table_row(const Ladder& ladder, const Rung& rung, const RungOutcome& outcome) {
  if (outcome.figures.trials == 0) {
    return fmt::format("| {} | 0 | {} of {} | | | | | no reading: {} |\n", rung.conditions, outcome.refused,
                       outcome.seeds, outcome.last_reason.empty() ? "none was offered" : outcome.last_reason);
  }
  const Figures& f = outcome.figures;
  const std::string honesty = ladder.states_errors ? fmt::format("{:+.3g} ± {:.2g} | {:.3g} | {:.3g} | {:.2f}", f.bias,
                                                                 f.bias_sigma, f.rms, f.stated, f.z2)
                                                   : fmt::format(" | {:.3g} | | ", f.rms);
  return fmt::format("| {} | {} | {} of {} | {} | {} |\n", rung.conditions, f.trials, outcome.refused, outcome.seeds,
                     honesty, verdict_words(rung, f));
}

}  // namespace halfarc::accuracy
