#include "halfarc/server/page_hand.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <string>
#include <utility>

#include "halfarc/app/clip_shelf.h"
#include "halfarc/app/owner_log.h"

namespace halfarc::server {
namespace {

constexpr Duration kReadWithin = Duration::s(60.0);

bool asks_for_a_turn(const std::string& check) {
  const auto document = nlohmann::json::parse(check, nullptr, false);
  if (!document.is_object()) return false;
  const auto advice = document.value("advice", nlohmann::json::array());
  return std::any_of(advice.begin(), advice.end(), [](const auto& one) { return one.value("turn", 0.0) != 0.0; });
}

}  // namespace

TurnSource page_hand(const std::filesystem::path& home, const Patience& patience, Pause pause) {
  const TurnSource noted = turns_of_logbook(logbook_of_home(home), patience, pause);
  return [=, pause = std::move(pause)](const PlayedClip& clip) -> Result<std::vector<Turned>> {
    for (Duration waited; waited < kReadWithin; waited += patience.look) {
      const auto closed = clip_at(clip.recording);
      const auto check = closed ? kept_check(home, *closed) : std::nullopt;
      if (check) return asks_for_a_turn(*check) ? noted(clip) : std::vector<Turned>{};
      HALFARC_CHECK(pause(patience.look));
    }
    return std::vector<Turned>{};
  };
}

}  // namespace halfarc::server
