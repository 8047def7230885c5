#include "halfarc/advise/levers.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>

namespace halfarc {
namespace {

enum { kMarks, kRoll, kStrength, kAir, kNumbers };

constexpr double kRollUnsure = 15.0;  // degrees
constexpr double kAirUnsure = 0.03;   // of the air's share
constexpr double kHandMarks = 0.05;   // per mark of a scale of ten
constexpr double kHandDegrees = 1.0;
constexpr double kHandShare = 0.05;
constexpr double kTrimCost = 0.01;  // of half-arc contrast
constexpr int kSteps = 100;         // of the scale
constexpr int kFarthestRoll = 45;   // degrees at a time
constexpr int kRounds = 3;          // of levers and roll in turn

double square(double x) { return x * x; }

double scale_of(const Corrector& c) { return c.pair.scale.highest - c.pair.scale.lowest; }

double on_scale(const Corrector& c, double marks) {
  return std::clamp(marks, c.pair.scale.lowest, c.pair.scale.highest);
}

struct Split {
  double across, along;  // arcseconds
};

// What prisms of unit strength do, against no air, the zenith up.
Split pull(const Corrector& c, double marks, double roll) {
  PrismPair pair = c.pair;
  pair.roll = roll_against(Angle()) + Angle::deg(roll);
  const LeftOver left = left_over(pair, both_at(on_scale(c, marks)), c.place, Angle(), Angle(), c.red, c.blue);
  return {left.across.arcsec(), left.along.arcsec()};
}

// What is left over, across and along, and its slopes.
Expected left_at(const Corrector& c, std::span<const double> s, double air) {
  const double dm = 1e-3 * scale_of(c), dr = 0.1;
  const Split here = pull(c, s[kMarks], s[kRoll]);
  const double high = on_scale(c, on_scale(c, s[kMarks]) + dm), low = on_scale(c, on_scale(c, s[kMarks]) - dm);
  const Split more = pull(c, high, s[kRoll]), less = pull(c, low, s[kRoll]);
  const Split right = pull(c, s[kMarks], s[kRoll] + dr), left = pull(c, s[kMarks], s[kRoll] - dr);
  const double g = s[kStrength];
  return {
      {g * here.across, air * s[kAir] + g * here.along},
      {g * (more.across - less.across) / (high - low), g * (right.across - left.across) / (2.0 * dr), here.across, 0.0,
       g * (more.along - less.along) / (high - low), g * (right.along - left.along) / (2.0 * dr), here.along, air}};
}

// Where the levers seem to stand by one reading alone: from there the fit finds its way.
std::array<double, kNumbers> start_of(const Corrector& c, const Belief& belief, const Reading& reading, Angle air) {
  const double along = (air.arcsec() - reading.y) / belief.mean[kStrength];
  const double across = reading.x / belief.mean[kStrength];
  const Angle size = Angle::arcsec(std::hypot(along, across));
  const double roll = Angle::rad(std::atan2(-across, along)).deg();
  return {marks_for(c.pair, c.place, size, c.red, c.blue).marks, roll, belief.mean[kStrength], belief.mean[kAir]};
}

double hand_marks2(const Corrector& c, double marks) {
  return marks == 0.0 ? 0.0 : square(kHandMarks * scale_of(c) / 10.0);
}
double hand_roll2(double degrees) { return degrees == 0.0 ? 0.0 : square(kHandDegrees) + square(kHandShare * degrees); }

struct Move {
  double marks = 0.0;
  double roll = 0.0;  // on the picture, clockwise
};

Belief moved(const Corrector& c, Belief belief, const Move& move) {
  belief.mean[kMarks] = on_scale(c, belief.mean[kMarks] + move.marks);
  belief.mean[kRoll] += move.roll;
  belief.between(kMarks, kMarks) += hand_marks2(c, move.marks);
  belief.between(kRoll, kRoll) += hand_roll2(move.roll);
  return belief;
}

// After `first` and after `second` besides: the errors of the first are common to both, those of the second's hand not.
BeforeAfter states(const Corrector& c, const Belief& start, const Move& first, const Move& second, Angle air) {
  const Belief one = moved(c, start, first), other = moved(c, one, second);
  const Expected before = left_at(c, one.mean, air.arcsec()), after = left_at(c, other.mean, air.arcsec());
  BeforeAfter both;
  both.mean = {before.values[0], before.values[1], after.values[0], after.values[1]};
  const auto slope = [&](std::size_t row, std::size_t i) {
    return row < 2 ? before.slopes[row * kNumbers + i] : after.slopes[(row - 2) * kNumbers + i];
  };
  for (std::size_t row = 0; row < 4; ++row)
    for (std::size_t column = 0; column < 4; ++column) {
      const Belief& errors = row < 2 || column < 2 ? one : other;
      for (std::size_t i = 0; i < kNumbers; ++i)
        for (std::size_t j = 0; j < kNumbers; ++j)
          both.covariance[4 * row + column] += slope(row, i) * errors.between(i, j) * slope(column, j);
    }
  return both;
}

double left_after(const BeforeAfter& both) {
  return square(both.mean[2]) + square(both.mean[3]) + both.covariance[10] + both.covariance[15];
}

double best_marks(const Corrector& c, const LeverState& state, const Move& rolled, Angle air) {
  const double step = scale_of(c) / kSteps;
  double best = 0.0, least = left_after(states(c, state.likelier(), rolled, {}, air));
  for (int i = -kSteps; i <= kSteps; ++i) {
    const double marks = step * i, to = state.likelier().mean[kMarks] + marks;
    if (i == 0 || to < c.pair.scale.lowest - step / 2.0 || to > c.pair.scale.highest + step / 2.0) continue;
    const double left = left_after(states(c, state.likelier(), rolled, {marks, 0.0}, air));
    if (left < least) {
      best = marks;
      least = left;
    }
  }
  return best;
}

// Degrees on the picture, clockwise. Not quite the roll's own error: the gap between the prisms leaves a little that
// lies sideways, which a roll can meet.
double best_roll(const Corrector& c, const LeverState& state, const Move& levers, Angle air) {
  double best = 0.0, least = left_after(states(c, state.likelier(), levers, {}, air));
  for (int degrees = -kFarthestRoll; degrees <= kFarthestRoll; ++degrees) {
    const double left = left_after(states(c, state.likelier(), levers, {0.0, 1.0 * degrees}, air));
    if (degrees == 0 || left >= least) continue;
    best = degrees;
    least = left;
  }
  return best;
}

double sense_of(std::size_t hypothesis) { return hypothesis == 0 ? 1.0 : -1.0; }

std::string left_words(const BeforeAfter& both) {
  return fmt::format("Blue lies {}\" {} red and {}\" beside it.",
                     measured_words({std::abs(both.mean[1]), std::sqrt(both.covariance[5])}),
                     both.mean[1] < 0.0 ? "below" : "above",
                     measured_words({std::abs(both.mean[0]), std::sqrt(both.covariance[0])}));
}

Advice lever_advice(const Corrector& c, const LeverState& state, const ContrastCurve& curve, Angle air,
                    const Move& rolled, double marks) {
  const Belief& belief = state.likelier();
  const BeforeAfter both = states(c, belief, rolled, {marks, 0.0}, air);
  Advice advice;
  advice.control = Control::levers;
  advice.gain = expected_gain(curve, both);
  advice.sigma = belief.sigma(kMarks);
  const bool at_hand = rolled.roll != 0.0;  // while the corrector is turned, a trim costs nothing more
  if (marks == 0.0 || (!at_hand && !worth_doing(advice.gain))) {
    advice.gain = {0.0, advice.gain.sigma};
    const bool at_end = belief.mean[kMarks] > c.pair.scale.highest - scale_of(c) / 20.0 && both.mean[1] > 0.1;
    advice.words = left_words(both) + (at_end ? " The levers are at their end: wait until the target stands higher."
                                              : " Leave the levers alone.");
    return advice;
  }
  advice.turns = {{Control::levers, marks}};
  const double to = belief.mean[kMarks] + marks;
  advice.words = fmt::format("{} Move both levers {}, to about {:.1f}: {} should be left, which {}.", left_words(both),
                             in_words(advice.turns.front()), to,
                             fmt::format("{:.2f}\"", std::hypot(both.mean[2], both.mean[3])), gain_words(advice.gain));
  return advice;
}

Advice roll_advice(const Corrector& c, const LeverState& state, const ContrastCurve& curve, Angle air,
                   const Move& levers) {
  const Belief& belief = state.likelier();
  const std::size_t likelier = &belief == &state.beliefs[0] ? 0 : 1;
  const double on_picture = best_roll(c, state, levers, air), degrees = on_picture * sense_of(likelier);
  Advice advice;
  advice.control = Control::roll;
  advice.sigma = belief.sigma(kRoll);
  std::array<Measured<double>, 2> gain;
  for (std::size_t h = 0; h < 2; ++h)
    gain[h] = expected_gain(curve, states(c, state.beliefs[h], levers, {0.0, degrees * sense_of(h)}, air));
  // The other sense, while it is not ruled out, lowers what is to be expected; the next clip tells which it was.
  const double expected = state.weight[0] * gain[0].value + state.weight[1] * gain[1].value;
  advice.gain = {expected, gain[likelier].sigma};
  const std::string out = fmt::format("The corrector's roll is out by {} deg.",
                                      measured_words({std::abs(on_picture), belief.sigma(kRoll)}));
  if (degrees == 0.0 || !worth_doing(advice.gain)) {
    advice.gain = {0.0, advice.gain.sigma};
    advice.words = out + " Leave it alone.";
    return advice;
  }
  advice.turns = {{Control::roll, degrees}};
  advice.words =
      fmt::format("{} Turn the whole corrector {} (seen from behind the camera), the levers with it; that {}.", out,
                  in_words(advice.turns.front()), gain_words(advice.gain));
  return advice;
}

}  // namespace

CorrectorResponse expected_response(const Corrector& corrector) {
  CorrectorResponse response;
  if (corrector.roll_mirrored) response.clockwise = 1.0 - response.clockwise;
  return response;
}

CorrectorResponse LeverState::response() const {
  const Belief& belief = likelier();
  return {{belief.mean[kStrength], belief.sigma(kStrength)}, weight[0]};
}

LeverState follow_levers(const Corrector& corrector, const CorrectorResponse& before, std::span<const Event> events) {
  const LeverScale& scale = corrector.pair.scale;
  const std::array mean{corrector.marks.value_or((scale.lowest + scale.highest) / 2.0), 0.0, before.strength.value,
                        1.0};
  const std::array sigma{corrector.marks ? kHandMarks * scale_of(corrector) / 10.0 : 0.29 * scale_of(corrector),
                         kRollUnsure, before.strength.sigma, kAirUnsure};
  const std::array bounds{Bounds{scale.lowest, scale.highest}, Bounds{-90.0, 90.0}, Bounds{0.3, 3.0}, Bounds{0.5, 1.5}};
  LeverState state;
  state.beliefs = {Belief::of(mean, sigma), Belief::of(mean, sigma)};
  std::array log_weight{std::log(before.clockwise), std::log(1.0 - before.clockwise)};
  for (const Event& event : events) {
    const Turn* turn = std::get_if<Turn>(&event);
    const Reading* reading = std::get_if<Reading>(&event);
    const bool told = reading != nullptr && reading->what == Reads::colours && reading->air;
    if (told) state.air = *reading->air;
    for (std::size_t h = 0; h < 2; ++h) {
      Belief& belief = state.beliefs[h];
      if (turn != nullptr && turn->turned.control == Control::levers)
        belief = moved(corrector, belief, {turn->turned.amount, 0.0});
      if (turn != nullptr && turn->turned.control == Control::roll)
        belief = moved(corrector, belief, {0.0, turn->turned.amount * sense_of(h)});
      if (!told) continue;
      const double air = state.air.arcsec();
      const auto start = state.read ? std::array{belief.mean[0], belief.mean[1], belief.mean[2], belief.mean[3]}
                                    : start_of(corrector, belief, *reading, state.air);
      const Scatter& s = reading->scatter;
      log_weight[h] += learn_bent(
          belief, [&](std::span<const double> at) { return left_at(corrector, at, air); }, bounds, start,
          std::array{reading->x, reading->y}, std::array{s.xx, s.xy, s.xy, s.yy});
    }
    state.read = state.read || told;
  }
  const double top = std::max(log_weight[0], log_weight[1]);
  const double sum = std::exp(log_weight[0] - top) + std::exp(log_weight[1] - top);
  for (std::size_t h = 0; h < 2; ++h) state.weight[h] = std::exp(log_weight[h] - top) / sum;
  return state;
}

std::vector<Advice> advise_levers(const Corrector& corrector, const LeverState& state, const ContrastCurve& curve,
                                  Angle air) {
  // One hand does both, so each is set for where the other will be; what is left alone stays.
  const auto moved_by = [](const Advice& advice) { return advice.leave_alone() ? 0.0 : advice.turns.front().amount; };
  const double sense = &state.likelier() == &state.beliefs[0] ? 1.0 : -1.0;
  Move rolled;
  Advice levers, roll;
  for (int round = 0; round < kRounds; ++round) {
    levers = lever_advice(corrector, state, curve, air, rolled, best_marks(corrector, state, rolled, air));
    roll = roll_advice(corrector, state, curve, air, {moved_by(levers), 0.0});
    rolled.roll = moved_by(roll) * sense;
  }
  return {levers, roll};
}

std::optional<Utc> next_trim(std::span<const AirAt> hours, Angle air, const ContrastCurve& curve) {
  const auto cost = [&](Angle then) { return 1.0 - curve.at(abs(then - air).arcsec()); };
  for (std::size_t i = 0; i < hours.size(); ++i) {
    if (cost(hours[i].air) < kTrimCost) continue;
    if (i == 0) return hours[0].utc;
    double low = 0.0, high = 1.0;
    for (int round = 0; round < 30; ++round) {
      const double middle = 0.5 * (low + high);
      const Angle then = hours[i - 1].air + (hours[i].air - hours[i - 1].air) * middle;
      (cost(then) < kTrimCost ? low : high) = middle;
    }
    return hours[i - 1].utc + (hours[i].utc - hours[i - 1].utc) * high;
  }
  return std::nullopt;
}

}  // namespace halfarc
