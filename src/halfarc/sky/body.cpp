#include "halfarc/sky/body.h"

#include <cctype>
#include <string>
#include <utility>

namespace halfarc::sky {
namespace {

struct Name {
  std::string_view text;
  Body body;
};

constexpr Name kNames[] = {{"sun", Body::sun},       {"sol", Body::sun},         {"moon", Body::moon},
                           {"luna", Body::moon},     {"mercury", Body::mercury}, {"venus", Body::venus},
                           {"mars", Body::mars},     {"jupiter", Body::jupiter}, {"saturn", Body::saturn},
                           {"uranus", Body::uranus}, {"neptune", Body::neptune}};

constexpr Name kSigns[] = {{"☉", Body::sun},    {"☽", Body::moon},   {"☾", Body::moon},    {"☿", Body::mercury},
                           {"♀", Body::venus},  {"♂", Body::mars},   {"♃", Body::jupiter}, {"♄", Body::saturn},
                           {"♅", Body::uranus}, {"⛢", Body::uranus}, {"♆", Body::neptune}};

std::string plain(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (std::isspace(static_cast<unsigned char>(c)) == 0) {
      out += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    }
  }
  if (out.starts_with("the") && out.size() > 3) out.erase(0, 3);
  return out;
}

}  // namespace

std::string_view name_of(Body b) {
  constexpr std::string_view names[] = {"Sun",     "Moon",   "Mercury", "Venus",  "Mars",
                                        "Jupiter", "Saturn", "Uranus",  "Neptune"};
  return names[static_cast<std::size_t>(b)];
}

Result<Body> parse_body(std::string_view text) {
  for (const auto& sign : kSigns) {
    if (text.starts_with(sign.text)) return sign.body;
  }
  const std::string wanted = plain(text);
  if (wanted.size() >= 3) {
    for (const auto& name : kNames) {
      if (name.text.starts_with(wanted)) return name.body;  // three letters are enough to tell all of them apart
    }
  }
  return bad_input("\"" + std::string(text) + "\" is no body that halfarc knows", {},
                   "type Sun, Moon, Mercury, Venus, Mars, Jupiter, Saturn, Uranus or Neptune");
}

}  // namespace halfarc::sky
