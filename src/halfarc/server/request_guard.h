// RequestGuard: who may ask. It looks at a request's header before a byte of its body is read.
//
// The danger is not the owner but other pages in the owner's browser, which can send requests to this machine too.
// - Host must name the address that the connection came to: a foreign name that resolves to this machine is refused.
// - Origin, when the browser sends one, must be that of our own page; a request that the browser itself calls
// cross-site
//   (Sec-Fetch-Site) may load the page, and nothing else.
// - A write says that its body is JSON, which no form of another page can.
// - A device other than this one shows the cookie that pairing gave it (pairing.h).
// - What nobody's browser sends but attackers do (coded or chunked bodies, ranges) is refused, and so is a body over
// the
//   limit by its announced length.
// Source: [RFC9110] for Host, [RFC6454] for Origin, the W3C's Fetch Metadata Request Headers for Sec-Fetch-Site.
#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <string>

#include "halfarc/server/exchange.h"

namespace halfarc::server {

inline constexpr std::size_t kMostBody = std::size_t{1} << 20;  // bytes
inline constexpr std::size_t kLongestPath = 2048;               // bytes, the query included

// Whether a session's cookie is one that we gave.
using IsPaired = std::function<bool(const std::string& token)>;

// The value of a cookie of the request; empty when there is none.
std::string cookie_of(const WebRequest& request, const std::string& name);
inline constexpr const char* kSessionCookie = "halfarc_session";

// Whether it is this machine, or a device that was paired.
bool is_trusted(const WebRequest& request, const IsPaired& is_paired);

// Nothing when the request may go on; else the refusal.
std::optional<WebAnswer> guard(const WebRequest& request, const IsPaired& is_paired);

}  // namespace halfarc::server
