#include "halfarc/frames/mosaic.h"

#include <array>
#include <cctype>
#include <string>
#include <utility>

namespace halfarc {
namespace {

constexpr std::array<std::pair<Mosaic, std::string_view>, 6> kNames = {{{Mosaic::mono, "mono"},
                                                                        {Mosaic::rggb, "RGGB"},
                                                                        {Mosaic::grbg, "GRBG"},
                                                                        {Mosaic::gbrg, "GBRG"},
                                                                        {Mosaic::bggr, "BGGR"},
                                                                        {Mosaic::rgb, "RGB"}}};

std::string lower(std::string_view text) {
  std::string out(text);
  for (char& c : out) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return out;
}

}  // namespace

std::string_view name(Mosaic m) {
  for (const auto& [mosaic, text] : kNames) {
    if (mosaic == m) return text;
  }
  return "unknown";
}

std::optional<Mosaic> mosaic_named(std::string_view text) {
  for (const auto& [mosaic, known] : kNames) {
    if (lower(known) == lower(text)) return mosaic;
  }
  return std::nullopt;
}

}  // namespace halfarc
