#include "halfarc/app/here.h"

#include <utility>

#include "halfarc/app/cooling_file.h"
#include "halfarc/app/rig_file.h"

namespace halfarc {

Result<Here> find_here(const std::string& typed, const std::filesystem::path& home) {
  Here here;
  if (!typed.empty()) {
    here.is_typed = true;
    HALFARC_TRY(here.place.site, sky::parse_site(typed));
    return here;
  }
  HALFARC_TRY(auto named, site_of_home(home));
  if (named) {
    here.place = std::move(*named);
    if (here.place.name.empty()) here.place.name = (home / "site.toml").string();
    return here;
  }
  here.place = example_site();
  here.caution = "No site was given: this is for " + here.place.name +
                 ", the town of the examples. Type --site, or run halfarc init once.";
  here.place.name += " (no site was given)";
  return here;
}

Result<std::optional<SolvedRig>> solved_rig_of_home(const std::filesystem::path& home) {
  HALFARC_TRY(auto rig, rig_of_home(home));
  if (!rig) return std::optional<SolvedRig>();
  HALFARC_CHECK(learn_cooling(home, *rig));
  HALFARC_TRY(TrainSolution train, solve(*rig));
  return std::optional<SolvedRig>({std::move(*rig), std::move(train)});
}

}  // namespace halfarc
