#include "halfarc/report/seeing_scale.h"

#include <array>
#include <utility>

namespace halfarc {

std::string_view antoniadi(Angle width) {
  constexpr std::array<std::pair<double, std::string_view>, 4> steps{
      {{0.8, "I"}, {1.3, "II"}, {2.2, "III"}, {3.5, "IV"}}};
  for (const auto& [below, numeral] : steps) {
    if (width.arcsec() < below) return numeral;
  }
  return "V";
}

}  // namespace halfarc
