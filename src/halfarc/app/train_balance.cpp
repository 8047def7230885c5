#include "halfarc/app/train_balance.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "halfarc/optics/balance.h"

namespace halfarc {
namespace {

constexpr double kSlidingWeightG = 1000.0;

std::string balance_words(const ChangedBalance& b, bool learned) {
  const double mm = b.slide.mm();
  const std::string end = b.moment_newton_m >= 0.0 ? "rear" : "front";
  std::string text = fmt::format("balance: {:.2f} N m more at the {}; slide 1 kg {:.0f} mm {}",
                                 std::abs(b.moment_newton_m), end, std::abs(mm), mm >= 0.0 ? "forward" : "back");
  if (!learned)
    return text +
           fmt::format("; how far the target jumps is not learned yet (within some {:.0f}\"): keep the field wide",
                       2.0 * b.jump.sigma.arcsec());
  const double up = b.jump.altitude.arcsec(), right = b.jump.azimuth.arcsec();
  return text + fmt::format("; the target jumps {:.0f}\" {} and {:.0f}\" to the {}, each within {:.0f}\"", std::abs(up),
                            up >= 0.0 ? "up" : "down", std::abs(right), right >= 0.0 ? "right" : "left",
                            b.jump.sigma.arcsec());
}

}  // namespace

std::optional<ChangedBalance> changed_balance(const Rig& before, const Rig& after, const PointingResponse& known,
                                              std::vector<Reason>& why) {
  const auto points_before = mass_points(before.train, before.mount),
             points_after = mass_points(after.train, after.mount);
  const auto moment = moment_change(points_before, points_after);
  if (!moment) return std::nullopt;
  ChangedBalance b;
  b.moment_newton_m = *moment;
  b.slide = slide_forward(*moment, kSlidingWeightG);
  b.jump = predict_jump(known, *moment);
  b.words = balance_words(b, is_learned(known));
  std::vector<ReasonInput> masses;
  for (const MassPoint& p : points_after) masses.push_back({p.part + ", behind the axis", p.behind.mm(), "mm"});
  for (const MassPoint& p : points_after) masses.push_back({p.part, p.mass_g, "g"});
  why.push_back({"change/moment_newton_m", "moment added at the rear, tube level", b.moment_newton_m, 3, "N m",
                 "sum of g m x after - sum of g m x before", std::move(masses),
                 "mechanics; g = 9.80665 m/s^2 [ISO2533]"});
  why.push_back({"change/slide_mm",
                 "how far forward a weight must slide on the tube to undo it",
                 b.slide.mm(),
                 0,
                 "mm",
                 "moment / (g m)",
                 {{"moment", b.moment_newton_m, "N m"}, {"weight", kSlidingWeightG, "g"}},
                 "mechanics"});
  const std::string source = "learned from pointing.csv; before any reading 300\" per N m, common practice";
  const auto jump = [&](const char* field, const char* what, Angle value, double response) {
    why.push_back({field,
                   what,
                   value.arcsec(),
                   0,
                   "arcsec",
                   "response x moment",
                   {{"response", response, "arcsec per N m"}, {"moment", b.moment_newton_m, "N m"}},
                   source});
  };
  jump("change/jump_up_arcsec", "how far the target jumps up", b.jump.altitude, known.altitude);
  jump("change/jump_right_arcsec", "and to the right, on the sky", b.jump.azimuth, known.azimuth);
  why.push_back({"change/jump_sigma_arcsec",
                 "standard error of either",
                 b.jump.sigma.arcsec(),
                 0,
                 "arcsec",
                 "error of the response x moment, and 10\" of handling",
                 {{"moment", b.moment_newton_m, "N m"}},
                 source});
  return b;
}

}  // namespace halfarc
