// Assets: the files of the page, embedded in the binary, so that it needs no folder beside it and no network.
// The table is made from what web/ builds (cmake/EmbedFiles.cmake).
#pragma once

#include <span>
#include <string_view>

namespace halfarc::server {

struct Asset {
  std::string_view path;  // "/" or "/assets/app.js"
  std::string_view type;  // "text/html; charset=utf-8"
  std::string_view bytes;
};

std::span<const Asset> every_asset();

// Nothing when there is none of that path.
const Asset* find_asset(std::string_view path);

}  // namespace halfarc::server
