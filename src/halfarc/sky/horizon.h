// Horizon: what stands in the way around the site, traced once by the owner: roofs, trees, hills.
//
// A list of points (azimuth, altitude) joined by straight lines all the way round. Each point says what it is; a roof
// or wall that gives its heat back at night is marked warm, because the air over it boils.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "halfarc/base/angle.h"
#include "halfarc/base/result.h"

namespace halfarc::sky {

enum class Obstacle { open, roof, tree, hill };

std::string_view name_of(Obstacle kind);

struct HorizonPoint {
  Angle azimuth;  // from north through east, [0, 360)
  Angle altitude;
  Obstacle kind = Obstacle::open;
  bool warm = false;
};

class Horizon {
 public:
  Horizon() = default;  // open all round, at altitude 0

  // Points in any order. Errors: two points at one azimuth, altitudes outside -10 to 90 deg.
  static Result<Horizon> from_points(std::vector<HorizonPoint> points);

  // Comma separated lines: azimuth_deg,altitude_deg,kind,warm. kind is open, roof, tree or hill (open if left out),
  // warm is yes or no (no if left out). Empty lines, lines that begin with # and a first line of column names are
  // passed over. `where` names the file in errors, which say the line and what to type.
  static Result<Horizon> parse(std::string_view text, const std::string& where);

  // The height of the obstacle at that azimuth, and what it is: the higher of the two neighbouring points says.
  HorizonPoint at(Angle azimuth) const;
  Angle altitude(Angle azimuth) const { return at(azimuth).altitude; }

  const std::vector<HorizonPoint>& points() const { return points_; }

 private:
  std::vector<HorizonPoint> points_;  // by azimuth
};

}  // namespace halfarc::sky
