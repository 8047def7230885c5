// Base64: bytes as text, so that a page can hold its own picture. Source: [RFC4648] section 4.
#pragma once

#include <string>
#include <string_view>

namespace halfarc {

// Valid: any bytes. Padded, one line.
std::string base64(std::string_view bytes);

}  // namespace halfarc
