#include "halfarc/advise/screws.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <string>

namespace halfarc {
namespace {

constexpr double kScrewsUnsure = 0.4;     // of the response, before any turn
constexpr double kUneven = 0.12;          // of one screw against another (common practice)
constexpr double kAnyComa = 30.0;         // waves: nothing known
constexpr double kDriftAnHour = 0.1;      // waves a component
constexpr double kSlew = 0.2;             // waves a component
constexpr double kHandShare = 0.05;       // of a turn
constexpr double kHandLeast = 1.0 / 250;  // turns
constexpr double kStandsOut = 2.0;        // standard errors
constexpr double kSenseKnown = 0.9;       // probability
constexpr double kSenseSure = 0.99;
constexpr double kUnknown = 0.5;     // relative error of the response that asks for a test
constexpr double kWellKnown = 0.25;  // below this a quarter of a turn is allowed, and no test is of use
constexpr std::array kSteps{1.0 / 16, 1.0 / 32, 1.0 / 64};
constexpr std::array kTests{1.0 / 32, 1.0 / 16, 1.0 / 8};
constexpr std::array kScrew{Control::screw_a, Control::screw_b, Control::screw_c};

using Amounts = std::array<double, 3>;

double square(double x) { return x * x; }

// Rotation of the picture by k thirds of a turn, clockwise positive.
struct Third {
  double c, s;
};
Third third(int k) {
  const double angle = 2.0 * std::numbers::pi / 3.0 * k;
  return {std::cos(angle), std::sin(angle)};
}

double size2(const ScrewResponse& r) { return square(r.x) + square(r.y) + r.scatter.xx + r.scatter.yy; }

// Coma unknown, the three responses from that of a, `sense` thirds of a turn apart.
Belief belief_of(const ScrewResponse& response, int sense) {
  Belief belief = Belief::of(std::array<double, 8>{}, std::array{kAnyComa, kAnyComa, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0});
  const Scatter& p = response.scatter;
  for (std::size_t i = 0; i < 3; ++i) {
    const Third a = third(sense * static_cast<int>(i));
    belief.mean[2 + 2 * i] = a.c * response.x - a.s * response.y;
    belief.mean[3 + 2 * i] = a.s * response.x + a.c * response.y;
    for (std::size_t j = 0; j < 3; ++j) {
      const Third b = third(sense * static_cast<int>(j));
      // R_i P R_j'
      const double left[2][2] = {{a.c * p.xx - a.s * p.xy, a.c * p.xy - a.s * p.yy},
                                 {a.s * p.xx + a.c * p.xy, a.s * p.xy + a.c * p.yy}};
      for (std::size_t row = 0; row < 2; ++row) {
        belief.between(2 + 2 * i + row, 2 + 2 * j) = left[row][0] * b.c - left[row][1] * b.s;
        belief.between(2 + 2 * i + row, 3 + 2 * j) = left[row][0] * b.s + left[row][1] * b.c;
      }
    }
    for (std::size_t row = 2; row < 4; ++row)
      belief.between(row + 2 * i, row + 2 * i) += square(kUneven) * size2(response);
  }
  return belief;
}

double hand2(double turns) { return turns == 0.0 ? 0.0 : square(kHandShare * turns) + square(kHandLeast); }

// What the hand's own error adds to the covariance of coma; row and column in 0, 1.
double hand_noise(const Belief& belief, std::size_t screw, double turns, std::size_t row, std::size_t column) {
  const std::size_t i = 2 + 2 * screw + row, j = 2 + 2 * screw + column;
  return hand2(turns) * (belief.mean[i] * belief.mean[j] + belief.between(i, j));
}

// Which screw was turned, 0 to 2; nothing when it was none.
std::optional<std::size_t> screw_of(const Event& event) {
  const Turn* turned = std::get_if<Turn>(&event);
  if (turned == nullptr) return std::nullopt;
  const auto at = std::find(kScrew.begin(), kScrew.end(), turned->turned.control);
  return at == kScrew.end() ? std::nullopt : std::optional(static_cast<std::size_t>(at - kScrew.begin()));
}

void turn(Belief& belief, std::size_t screw, double turns) {
  std::array<double, 64> step{};
  for (std::size_t i = 0; i < 8; ++i) step[9 * i] = 1.0;
  step[2 + 2 * screw] = turns;
  step[8 + 3 + 2 * screw] = turns;
  carry(belief, step);
  for (std::size_t row = 0; row < 2; ++row)
    for (std::size_t column = 0; column < 2; ++column)
      belief.between(row, column) += hand_noise(belief, screw, turns, row, column);
}

void drift(Belief& belief, double variance) {
  belief.between(0, 0) += variance;
  belief.between(1, 1) += variance;
}

// Coma now and after these turns.
BeforeAfter states(const Belief& belief, const Amounts& amounts) {
  BeforeAfter both;
  double rows[4][8] = {};
  for (std::size_t row = 0; row < 2; ++row) {
    rows[row][row] = rows[2 + row][row] = 1.0;
    for (std::size_t k = 0; k < 3; ++k) rows[2 + row][2 + 2 * k + row] = amounts[k];
  }
  for (std::size_t i = 0; i < 4; ++i) {
    double reached[8] = {};
    for (std::size_t k = 0; k < 8; ++k) {
      both.mean[i] += rows[i][k] * belief.mean[k];
      for (std::size_t l = 0; l < 8; ++l) reached[l] += rows[i][k] * belief.between(k, l);
    }
    for (std::size_t j = 0; j < 4; ++j)
      for (std::size_t l = 0; l < 8; ++l) both.covariance[4 * i + j] += reached[l] * rows[j][l];
  }
  for (std::size_t k = 0; k < 3; ++k)
    for (std::size_t row = 0; row < 2; ++row)
      for (std::size_t column = 0; column < 2; ++column)
        both.covariance[4 * (2 + row) + 2 + column] += hand_noise(belief, k, amounts[k], row, column);
  return both;
}

// Mean square of coma after these turns, over both ways round.
double left_after(const ScrewState& state, const Amounts& amounts) {
  double sum = 0.0;
  for (std::size_t h = 0; h < 2; ++h) {
    const BeforeAfter both = states(state.beliefs[h], amounts);
    sum += state.weight[h] * (square(both.mean[2]) + square(both.mean[3]) + both.covariance[10] + both.covariance[15]);
  }
  return sum;
}

struct Choice {
  Amounts amounts{};
  double left = std::numeric_limits<double>::infinity();
};

Choice best_of(const ScrewState& state, double step, double largest) {
  Choice best{{}, left_after(state, {})};
  const int most = static_cast<int>(std::lround(largest / step));
  const auto least = [&](std::size_t k) {
    return -static_cast<int>(std::floor(std::clamp(state.tightened[k], 0.0, largest) / step + 1e-9));
  };
  for (std::size_t skipped = 0; skipped < 3; ++skipped) {
    const std::size_t i = (skipped + 1) % 3, j = (skipped + 2) % 3;
    for (int first = least(i); first <= most; ++first) {
      for (int second = least(j); second <= most; ++second) {
        Amounts amounts{};
        amounts[i] = first * step;
        amounts[j] = second * step;
        const double left = left_after(state, amounts);
        if (left < best.left * (1.0 - 1e-9)) best = {amounts, left};
      }
    }
  }
  return best;
}

// The coarsest steps that leave little more than the finest.
Choice choose(const ScrewState& state, double largest) {
  const Choice finest = best_of(state, kSteps.back(), largest);
  for (const double step : kSteps) {
    const Choice coarse = best_of(state, step, largest);
    if (coarse.left <= 1.1 * finest.left + 1e-3) return coarse;
  }
  return finest;
}

Measured<double> gain_if_likelier(const ScrewState& state, const Amounts& amounts, const ContrastCurve& curve) {
  return expected_gain(curve, states(state.likelier(), amounts));
}

Measured<double> gain_over_both(const ScrewState& state, const Amounts& amounts, const ContrastCurve& curve) {
  double mean = 0.0, mean2 = 0.0;
  for (std::size_t h = 0; h < 2; ++h) {
    if (state.weight[h] < 1e-6) continue;
    const Measured<double> gain = expected_gain(curve, states(state.beliefs[h], amounts));
    mean += state.weight[h] * gain.value;
    mean2 += state.weight[h] * (square(gain.value) + square(gain.sigma));
  }
  return {mean, std::sqrt(std::max(0.0, mean2 - mean * mean))};
}

// If coma were mended altogether.
Measured<double> gain_of_cure(const Belief& belief, const ContrastCurve& curve) {
  BeforeAfter both = states(belief, {});
  both.mean[2] = both.mean[3] = 0.0;
  for (std::size_t i = 0; i < 4; ++i)
    for (std::size_t j = 0; j < 4; ++j)
      if (i > 1 || j > 1) both.covariance[4 * i + j] = 0.0;
  return expected_gain(curve, both);
}

double length_of_response(const Belief& belief) { return std::hypot(belief.mean[2], belief.mean[3]); }
double error_of_response(const Belief& belief) {
  return std::sqrt((belief.between(2, 2) + belief.between(3, 3)) / 2.0);
}

std::string coma_words(const ScrewState& state) {
  return fmt::format("Coma is {} waves at the edge.", measured_words(state.coma()));
}

Advice left_alone(const ScrewState& state, const Measured<double>& cure, const ContrastCurve& curve) {
  Advice advice;
  advice.control = Control::screw_a;
  advice.gain = {0.0, cure.sigma};
  const double unsure = state.coma().sigma;
  const bool air = 1.0 - curve.at(unsure * std::numbers::sqrt2) > 2.0 * kLeastGain;
  advice.words = "Leave the collimation alone. " + coma_words(state) +
                 (air ? " The air lets it be measured no better in a clip of this length."
                      : " What a hand could still mend does not show.");
  return advice;
}

// Whether turns have told which way round the screws follow on the picture. Turns of a second screw do.
bool sense_known(const ScrewState& state) { return std::max(state.weight[0], state.weight[1]) > kSenseKnown; }
bool sense_sure(const ScrewState& state) { return std::max(state.weight[0], state.weight[1]) > kSenseSure; }

Advice test_turn(const Screws& screws, const ScrewState& state, const Measured<double>& cure) {
  const Belief& belief = state.likelier();
  const double size = std::max(std::sqrt(square(length_of_response(belief)) + 2.0 * square(error_of_response(belief))),
                               0.5 * screws.waves_per_turn.value);
  const double wanted = std::max(12.0 * state.noise, 0.5 * state.coma().value);
  double turns = kTests.back();
  for (const double one : kTests) {
    if (one * size < wanted) continue;
    turns = one;
    break;
  }
  Advice advice;
  advice.control = sense_known(state) ? Control::screw_a : Control::screw_b;
  advice.turns = {{advice.control, turns}};
  advice.sigma = turns;
  advice.gain = {cure.value, std::max(cure.sigma, cure.value)};
  advice.test = true;
  advice.words = fmt::format(
      "{} What the screws do to this picture is not known yet. As a test turn {} {}, bring the star back to the middle "
      "and record again: that teaches all three. The star will move by about {:.0f}\".",
      coma_words(state), name_of(advice.control), in_words(advice.turns.front()),
      std::abs(screws.star_per_wave.arcsec()) * turns * screws.waves_per_turn.value);
  return advice;
}

Advice mend(const Screws& screws, const ScrewState& state, const Choice& choice, const Measured<double>& gain) {
  const Belief& belief = state.likelier();
  const BeforeAfter both = states(belief, choice.amounts);
  Advice advice;
  std::string hand;
  for (std::size_t k = 0; k < 3; ++k) {
    if (choice.amounts[k] == 0.0) continue;
    advice.turns.push_back({kScrew[k], choice.amounts[k]});
    hand +=
        fmt::format("{} {} {}", hand.empty() ? "Turn" : ", then", name_of(kScrew[k]), in_words(advice.turns.back()));
  }
  advice.control = advice.turns.front().control;
  advice.gain = gain;
  const double left_sigma = std::sqrt((both.covariance[10] + both.covariance[15]) / 2.0);
  advice.sigma = left_sigma / length_of_response(belief);
  // The star goes against the change of coma.
  const PixelOffset star = PixelOffset{both.mean[0] - both.mean[2], both.mean[1] - both.mean[3]};
  advice.words = fmt::format(
      "{} {}. The star will go about {:.0f}\" {}; bring it back to the middle. Coma should fall to {}, which {}. Turn "
      "gently: if a screw is tight, loosen the others by as much instead, and never undo one.",
      coma_words(state), hand, star.length() * screws.star_per_wave.arcsec(), towards_words(star),
      measured_words({std::hypot(both.mean[2], both.mean[3]), left_sigma}), gain_words(gain));
  return advice;
}

}  // namespace

std::optional<Screws> screws_of(const Telescope& telescope, Length back_focus, const ScrewCircle& circle, int diagonals,
                                Length wavelength) {
  const auto coma = coma_per_radian(telescope, back_focus);
  if (!coma) return std::nullopt;
  const double waves_per_radian = *coma / wavelength;
  const double waves = waves_per_radian * (circle.pitch / (circle.radius * 1.5));
  Screws screws;
  screws.waves_per_turn = {waves, kScrewsUnsure * waves};
  screws.star_per_wave = Angle::rad(star_shift_per_tilt(telescope, back_focus) / waves_per_radian);
  screws.picture_mirrored = diagonals % 2 != 0;  // the telescope's own two mirrors undo each other
  return screws;
}

ScrewResponse expected_response(const Screws& screws) {
  const double each = (square(screws.waves_per_turn.value) + square(screws.waves_per_turn.sigma)) / 2.0;
  ScrewResponse response;
  response.scatter = {each, 0.0, each};
  if (screws.picture_mirrored) response.counter_clockwise = 1.0 - response.counter_clockwise;
  return response;
}

ScrewResponse after_camera_turned(const ScrewResponse& before, Angle sigma) {
  ScrewResponse after = before;
  // A wide turn leaves the mean short and all directions likely: the first and second moments of a wrapped Gaussian.
  const double s2 = square(sigma.rad()), keep = std::exp(-0.5 * s2), twice = std::exp(-2.0 * s2);
  const double xx = square(before.x) + before.scatter.xx, yy = square(before.y) + before.scatter.yy;
  const double xy = before.x * before.y + before.scatter.xy;
  after.x = keep * before.x;
  after.y = keep * before.y;
  after.scatter.xx = 0.5 * (xx + yy + twice * (xx - yy)) - square(after.x);
  after.scatter.yy = 0.5 * (xx + yy - twice * (xx - yy)) - square(after.y);
  after.scatter.xy = twice * xy - after.x * after.y;
  return after;
}

Measured<double> ScrewState::coma() const {
  const Belief& b = likelier();
  return {std::hypot(b.mean[0], b.mean[1]), std::sqrt((b.between(0, 0) + b.between(1, 1)) / 2.0)};
}

ScrewResponse ScrewState::response() const {
  const Belief& b = likelier();
  return {b.mean[2], b.mean[3], {b.between(2, 2), b.between(2, 3), b.between(3, 3)}, weight[0]};
}

ScrewState follow_screws(const ScrewResponse& before, std::span<const Event> events) {
  ScrewState state;
  state.beliefs = {belief_of(before, -1), belief_of(before, 1)};
  std::array log_weight{std::log(before.counter_clockwise), std::log(1.0 - before.counter_clockwise)};
  std::optional<Utc> last;
  std::string target;
  for (const Event& event : events) {
    const double hours = last ? std::max(0.0, (utc_of(event) - *last).hours()) : 0.0;
    last = utc_of(event);
    const Reading* reading = std::get_if<Reading>(&event);
    double moved = square(kDriftAnHour) * hours;
    if (reading != nullptr && !reading->target.empty()) {
      if (!target.empty() && target != reading->target) moved += square(kSlew);
      target = reading->target;
    }
    const auto screw = screw_of(event);
    if (screw) state.tightened[*screw] += std::get<Turn>(event).turned.amount;
    for (std::size_t h = 0; h < 2; ++h) {
      Belief& belief = state.beliefs[h];
      drift(belief, moved);
      if (screw) {
        turn(belief, *screw, std::get<Turn>(event).turned.amount);
      } else if (reading != nullptr && reading->what == Reads::coma) {
        const Scatter& s = reading->scatter;
        log_weight[h] += learn(belief,
                               std::array{1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,  //
                                          0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0},
                               std::array{reading->x - belief.mean[0], reading->y - belief.mean[1]},
                               std::array{s.xx, s.xy, s.xy, s.yy});
        state.noise = std::sqrt((s.xx + s.yy) / 2.0);
        state.read = true;
      }
    }
  }
  const double top = std::max(log_weight[0], log_weight[1]);
  const double sum = std::exp(log_weight[0] - top) + std::exp(log_weight[1] - top);
  for (std::size_t h = 0; h < 2; ++h) state.weight[h] = std::exp(log_weight[h] - top) / sum;
  return state;
}

Advice advise_screws(const Screws& screws, const ScrewState& state, const ContrastCurve& curve) {
  const Belief& belief = state.likelier();
  const Measured<double> cure = gain_of_cure(belief, curve);
  const double unsure = error_of_response(belief) / length_of_response(belief);
  const bool stands_out = state.coma().value > kStandsOut * state.coma().sigma;
  if (!stands_out || !worth_doing(cure)) return left_alone(state, cure, curve);
  if (!(unsure < kUnknown)) return test_turn(screws, state, cure);
  const Choice choice = choose(state, unsure < kWellKnown ? 0.25 : 0.125);
  const Measured<double> gain = gain_over_both(state, choice.amounts, curve);
  // Far out a step may cost nothing and gain nothing that shows, and yet be half of the way.
  const bool nearer = choice.left < 0.5 * left_after(state, {});
  // The little doubt which way round the screws follow ends with the turn itself.
  const bool teaches =
      sense_known(state) && !sense_sure(state) && worth_doing(gain_if_likelier(state, choice.amounts, curve));
  if (worth_doing(gain) || nearer || teaches) return mend(screws, state, choice, gain);
  return unsure < kWellKnown && sense_known(state) ? left_alone(state, cure, curve) : test_turn(screws, state, cure);
}

}  // namespace halfarc
