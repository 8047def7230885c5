#include "halfarc/server/assets.h"

#include <algorithm>

namespace halfarc::server {

const Asset* find_asset(std::string_view path) {
  const auto all = every_asset();
  const auto found = std::find_if(all.begin(), all.end(), [&](const Asset& asset) { return asset.path == path; });
  return found == all.end() ? nullptr : &*found;
}

}  // namespace halfarc::server
