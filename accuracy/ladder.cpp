#include "ladder.h"

#include <fmt/format.h>

#include <system_error>

#include "halfarc/base/parallel.h"

namespace halfarc::accuracy {

std::vector<Ladder> every_ladder() {
  return {colour_offset_ladder(), disc_scale_ladder(),  collimation_ladder(), best_focus_ladder(),  seeing_ladder(),
          registration_ladder(),  image_error_ladder(), resolution_ladder(),  false_detail_ladder()};
}

RungOutcome run_rung(const Rung& rung, std::size_t seeds, const std::filesystem::path& folder) {
  std::vector<std::vector<Trial>> trials(seeds);
  std::vector<std::string> reasons(seeds);
  parallel_for(seeds, {}, [&](std::size_t i) {
    const std::filesystem::path own = folder / fmt::format("seed-{}", i + 1);
    std::error_code ignored;
    std::filesystem::create_directories(own, ignored);
    auto found = rung.run(i + 1, own);
    std::filesystem::remove_all(own, ignored);
    if (found) {
      trials[i] = std::move(*found);
    } else {
      reasons[i] = found.error().what;
    }
  });
  RungOutcome outcome;
  outcome.seeds = seeds;
  std::vector<Trial> all;
  for (std::size_t i = 0; i < seeds; ++i) {
    if (trials[i].empty()) ++outcome.refused;
    if (!reasons[i].empty()) outcome.last_reason = reasons[i];
    all.insert(all.end(), trials[i].begin(), trials[i].end());
  }
  if (!all.empty()) outcome.figures = figures_of(all, rung.bar.limit);
  return outcome;
}

}  // namespace halfarc::accuracy
