// Mosaic: which colour each sample of a frame belongs to.
//
// A colour sensor has one filter before each pixel, in a pattern that repeats every two pixels each way. Pattern
// names are read from the top-left pixel: RGGB has red at (0,0), green at (1,0) and (0,1), blue at (1,1).
#pragma once

#include <optional>
#include <string_view>

namespace halfarc {

enum class Mosaic {
  mono,
  rggb,
  grbg,
  gbrg,
  bggr,
  rgb,  // three interleaved samples a pixel; a reader hands out RGB order whatever the file holds
};

enum class Colour { red = 0, green = 1, blue = 2 };

constexpr bool is_bayer(Mosaic m) {
  return m == Mosaic::rggb || m == Mosaic::grbg || m == Mosaic::gbrg || m == Mosaic::bggr;
}

constexpr int samples_per_pixel(Mosaic m) { return m == Mosaic::rgb ? 3 : 1; }

// The x and y parity (0 or 1) of the red sites of a Bayer mosaic; the blue sites have the other parities.
constexpr int red_x(Mosaic m) { return m == Mosaic::grbg || m == Mosaic::bggr ? 1 : 0; }
constexpr int red_y(Mosaic m) { return m == Mosaic::gbrg || m == Mosaic::bggr ? 1 : 0; }

// The colour of the site (x, y) of a Bayer mosaic.
constexpr Colour colour_at(Mosaic m, int x, int y) {
  const bool on_red_column = (x & 1) == red_x(m);
  const bool on_red_row = (y & 1) == red_y(m);
  if (on_red_column && on_red_row) return Colour::red;
  if (!on_red_column && !on_red_row) return Colour::blue;
  return Colour::green;
}

std::string_view name(Mosaic m);                       // "mono", "RGGB", ... "RGB"
std::optional<Mosaic> mosaic_named(std::string_view);  // any capitals; nothing if unknown

}  // namespace halfarc
