// Body: what halfarc points at, by name.
#pragma once

#include <array>
#include <string_view>

#include "halfarc/base/result.h"

namespace halfarc::sky {

enum class Body { sun, moon, mercury, venus, mars, jupiter, saturn, uranus, neptune };

inline constexpr std::array kAllBodies = {Body::sun,     Body::moon,   Body::mercury, Body::venus,  Body::mars,
                                          Body::jupiter, Body::saturn, Body::uranus,  Body::neptune};

constexpr bool is_planet(Body b) { return b != Body::sun && b != Body::moon; }

std::string_view name_of(Body b);  // "Jupiter"

// A name as people write it: any case, "the Moon", "jup", "Sol", "Luna", or the planet's sign. At least three letters
// of a name do if only one body begins so. Errors: unknown names, with what may be typed.
Result<Body> parse_body(std::string_view text);

}  // namespace halfarc::sky
