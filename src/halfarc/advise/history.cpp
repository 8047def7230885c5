#include "halfarc/advise/history.h"

#include <algorithm>
#include <cmath>

namespace halfarc {
namespace {

bool of_one_number(Reads what) { return what != Reads::coma && what != Reads::colours; }

bool is_covariance(const Scatter& s, bool of_one) {
  if (!std::isfinite(s.xx) || !std::isfinite(s.xy) || !std::isfinite(s.yy)) return false;
  if (of_one) return s.xx > 0.0;
  return s.xx > 0.0 && s.yy > 0.0 && s.xy * s.xy <= s.xx * s.yy;
}

Result<void> check(const Reading& r) {
  const std::string where = "the reading of " + r.utc.iso(0);
  const std::string to_do = "leave it out and record the clip again";
  if (!std::isfinite(r.x) || !std::isfinite(r.y) || (r.air && !is_finite(*r.air)))
    return bad_input("it holds a value that is no number", where, to_do);
  if (!is_covariance(r.scatter, of_one_number(r.what))) return bad_input("its standard errors cannot be", where, to_do);
  return {};
}

}  // namespace

Reading colours_reading(Utc utc, SkyOffset blue_minus_red, const Scatter& arcsec2, Angle zenith) {
  const PixelOffset up = step_towards(zenith), right = step_towards(zenith + Angle::deg(90.0));
  const double dx = blue_minus_red.x.arcsec(), dy = blue_minus_red.y.arcsec();
  const auto along = [&](PixelOffset a, PixelOffset b) {
    return a.x * b.x * arcsec2.xx + (a.x * b.y + a.y * b.x) * arcsec2.xy + a.y * b.y * arcsec2.yy;
  };
  Reading reading;
  reading.utc = utc;
  reading.what = Reads::colours;
  reading.x = right.x * dx + right.y * dy;
  reading.y = up.x * dx + up.y * dy;
  reading.scatter = {along(right, right), along(right, up), along(up, up)};
  return reading;
}

Utc utc_of(const Event& event) {
  return std::visit([](const auto& e) { return e.utc; }, event);
}

Result<std::vector<Event>> in_order(const History& history) {
  std::vector<Event> events;
  for (const Reading& reading : history.readings) {
    HALFARC_CHECK(check(reading));
    events.emplace_back(reading);
  }
  for (const Turn& turn : history.turns) {
    if (!std::isfinite(turn.turned.amount))
      return bad_input("its amount is no number", "the turn of " + turn.utc.iso(0), "leave it out");
    events.emplace_back(turn);
  }
  std::stable_sort(events.begin(), events.end(), [](const Event& a, const Event& b) { return utc_of(a) < utc_of(b); });
  return events;
}

}  // namespace halfarc
