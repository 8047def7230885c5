// Glass: how much a glass slows light of each colour, which is all that a prism, a window or a filter needs to say.
//
// The catalogue is data (data/optics/glasses.inc): optical glasses by their catalogue designation. Indices are
// relative to air, because every part of the train stands in air. Wavelengths are those of vacuum, as everywhere in
// halfarc; the catalogue's formulae and the standard lines are in air, which shortens a wave by 0.027 %.
#pragma once

#include <array>
#include <span>
#include <string_view>

#include "halfarc/base/length.h"
#include "halfarc/base/result.h"

namespace halfarc {

struct Glass {
  std::string_view name;  // catalogue designation
  std::array<double, 3> b;
  std::array<double, 3> c_um2;
};

// Every glass of the catalogue, in order of designation.
std::span<const Glass> glasses();

// The glass of a designation, in capitals or not. Error: a designation that the catalogue does not have.
Result<Glass> find_glass(std::string_view name);

// The common crown of windows, filters and prisms, N-BK7.
const Glass& crown_glass();

// The index relative to air at 20 degC: n^2 = 1 + sum B l^2 / (l^2 - C), l the wavelength in air.
// Valid: 310 to 2300 nm. Accuracy: 1e-5, the catalogue's own; a batch may differ by 5e-4 (from memory).
// Source: [Schott2017], [Malitson1965].
double refractive_index(const Glass& glass, Length wavelength);

// The index at the yellow helium line d (587.5618 nm in air), and the Abbe number (n_d - 1) / (n_F - n_C), which is
// large when the glass spreads colours little.
// Valid: any glass of the catalogue. Accuracy: as `refractive_index`. Source: [Schott2017].
double index_at_d(const Glass& glass);
double abbe_number(const Glass& glass);

// The wavelength in vacuum of a line whose wavelength is given in air.
// Valid: 300 to 1100 nm, near 20 degC and 1013 hPa. Accuracy: 0.004 nm, 2e-7 of an index. Source: [Ciddor1996].
Length vacuum_wavelength(Length in_air);

}  // namespace halfarc
