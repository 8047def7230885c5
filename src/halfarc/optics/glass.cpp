#include "halfarc/optics/glass.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <string>

namespace halfarc {
namespace {

constexpr Glass kGlasses[] = {
#include "optics/glasses.inc"
};

// The index of air at 20 degC, 1013 hPa and 550 nm; it changes by 1e-5 from 310 to 1100 nm, which moves no glass's
// index by more than 1e-6.
constexpr double kAir = 1.000273;

bool same_name(std::string_view a, std::string_view b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](unsigned char x, unsigned char y) { return std::toupper(x) == std::toupper(y); });
}

double index_at_line(const Glass& glass, double nm_in_air) {
  return refractive_index(glass, vacuum_wavelength(Length::nm(nm_in_air)));
}

}  // namespace

std::span<const Glass> glasses() { return kGlasses; }

Result<Glass> find_glass(std::string_view name) {
  std::string known;
  for (const Glass& glass : kGlasses) {
    if (same_name(glass.name, name)) return glass;
    known += (known.empty() ? "" : ", ") + std::string(glass.name);
  }
  return bad_input("the catalogue has no glass \"" + std::string(name) + "\"", "glass", "use one of " + known);
}

const Glass& crown_glass() {
  return *std::find_if(std::begin(kGlasses), std::end(kGlasses),
                       [](const Glass& glass) { return glass.name == "N-BK7"; });
}

double refractive_index(const Glass& glass, Length wavelength) {
  const double um = wavelength.um() / kAir;
  const double square = um * um;
  double sum = 1.0;
  for (std::size_t i = 0; i < glass.b.size(); ++i) sum += glass.b[i] * square / (square - glass.c_um2[i]);
  return std::sqrt(sum);
}

double index_at_d(const Glass& glass) { return index_at_line(glass, 587.5618); }

double abbe_number(const Glass& glass) {
  return (index_at_d(glass) - 1.0) / (index_at_line(glass, 486.1327) - index_at_line(glass, 656.2725));
}

Length vacuum_wavelength(Length in_air) { return in_air * kAir; }

}  // namespace halfarc
