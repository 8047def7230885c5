#include "halfarc/advise/knob.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>

namespace halfarc {
namespace {

enum { kLeft, kWaves, kSlack, kNumbers };

constexpr double kAnywhere = 20.0;    // turns: nothing known
constexpr double kPitchUnsure = 0.3;  // of itself
constexpr double kDriftAnHour = 0.2;  // waves
constexpr double kSlew = 0.2;         // waves
constexpr double kHandShare = 1.0 / 30;
constexpr double kHandLeast = 0.01;  // turns
constexpr double kSideKnown = 0.8;   // probability
constexpr double kFinest = 0.01;     // turns
constexpr std::array kBounds{Bounds{-100.0, 100.0}, Bounds{1e-3, 1e4}, Bounds{0.0, 2.0}};

double square(double x) { return x * x; }
double hand2(double turns) { return turns == 0.0 ? 0.0 : square(kHandLeast) + square(kHandShare * turns); }

// What a turn leaves; `slack` is the share of the slack that is first taken up: none, all, or half when it is not known
// how the knob was turned last.
void turn(Belief& belief, double turns, double slack) {
  const double sign = turns < 0.0 ? -1.0 : 1.0;
  const double taken = std::min(slack, std::abs(turns) / std::max(belief.mean[kSlack], 1e-9));
  carry(belief, std::array{1.0, 0.0, sign * taken, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0});
  belief.mean[kLeft] -= turns;
  belief.between(kLeft, kLeft) += hand2(turns);
  if (slack == 0.5) belief.between(kLeft, kLeft) += square(0.5 * belief.mean[kSlack]);
}

// One number seen, straight.
double learn_one(Belief& belief, std::size_t which, const Reading& reading) {
  std::array<double, kNumbers> slopes{};
  slopes[which] = 1.0;
  return learn(belief, slopes, std::array{reading.x - belief.mean[which]}, std::array{reading.scatter.xx});
}

// Defocus: waves a turn times turns, or its size on the side `side`.
double learn_defocus(Belief& belief, const Reading& reading, double side) {
  const auto waves = [side](std::span<const double> at) {
    return Expected{{side * at[kWaves] * at[kLeft]}, {side * at[kWaves], side * at[kLeft], 0.0}};
  };
  const std::array start{side * reading.x / belief.mean[kWaves], belief.mean[kWaves], belief.mean[kSlack]};
  return learn_bent(belief, waves, kBounds, start, std::array{reading.x}, std::array{reading.scatter.xx});
}

// Where the state is not known to lie on one side, the belief's own: positive in the first, negative in the second.
double side_of(const Belief& belief, bool read, std::size_t hypothesis) {
  if (read) return belief.mean[kLeft] < 0.0 ? -1.0 : 1.0;
  return hypothesis == 0 ? 1.0 : -1.0;
}

double take_reading(Belief& belief, const Reading& reading, bool read, std::size_t hypothesis) {
  switch (reading.what) {
    case Reads::focus:
      return learn_one(belief, kLeft, reading);
    case Reads::waves_per_turn:
      return learn_one(belief, kWaves, reading);
    case Reads::backlash:
      return learn_one(belief, kSlack, reading);
    case Reads::defocus:
      return learn_defocus(belief, reading, reading.sign_known ? 1.0 : side_of(belief, read, hypothesis));
    case Reads::coma:
    case Reads::colours:
      break;
  }
  return 0.0;
}

// In waves, before and after a turn that leaves no slack open.
BeforeAfter states(const Belief& belief, double turns) {
  const double waves = belief.mean[kWaves], left = belief.mean[kLeft];
  BeforeAfter both;
  both.mean = {waves * left, 0.0, waves * (left - turns), 0.0};
  const double slope[2][2] = {{waves, left}, {waves, left - turns}};
  for (std::size_t i = 0; i < 2; ++i)
    for (std::size_t j = 0; j < 2; ++j)
      for (std::size_t k = 0; k < 2; ++k)
        for (std::size_t l = 0; l < 2; ++l)
          both.covariance[8 * i + 2 * j] += slope[i][k] * belief.between(k, l) * slope[j][l];
  both.covariance[10] += square(waves) * hand2(turns);
  return both;
}

Advice test_turn(const KnobState& state, const ContrastCurve& curve) {
  const Belief& belief = state.beliefs[0];
  const double left = std::abs(belief.mean[kLeft]);
  const double slack = belief.mean[kSlack] + belief.sigma(kSlack);  // may be taken up first
  const double turns = std::max(kFinest, std::round((0.5 * left + slack) / kFinest) * kFinest);
  Advice advice;
  advice.control = Control::focus;
  advice.gain = expected_gain(curve, states(belief, left));
  advice.gain.sigma = std::max(advice.gain.sigma, advice.gain.value);
  advice.sigma = left;
  if (!worth_doing({advice.gain.value, 0.0})) {
    advice.words = "Leave the knob alone: focus is as near as this clip can tell.";
    return advice;
  }
  advice.test = true;
  advice.turns = {{Control::focus, turns}};
  advice.words = fmt::format(
      "Focus is {:.2g} waves off, about {:.2f} turns; one clip does not tell on which side. Turn the knob {} and "
      "record "
      "again: if the star grows, it is the other way.",
      belief.mean[kWaves] * left, left, in_words(advice.turns.front()));
  return advice;
}

}  // namespace

KnobResponse expected_response(const Knob& knob, double waves_per_turn) {
  return {{waves_per_turn, kPitchUnsure * waves_per_turn},
          {knob.backlash_turns, std::hypot(0.5 * knob.backlash_turns, 0.02)}};
}

bool KnobState::side_known() const { return std::max(weight[0], weight[1]) > kSideKnown; }

KnobResponse KnobState::response() const {
  const Belief& b = likelier();
  return {{b.mean[kWaves], b.sigma(kWaves)}, {b.mean[kSlack], b.sigma(kSlack)}};
}

KnobState follow_knob(const KnobResponse& before, std::span<const Event> events) {
  const std::array mean{0.0, before.waves_per_turn.value, before.backlash.value};
  const std::array sigma{kAnywhere, before.waves_per_turn.sigma, before.backlash.sigma};
  KnobState state;
  state.beliefs = {Belief::of(mean, sigma), Belief::of(mean, sigma)};
  std::array<double, 2> log_weight{};
  std::optional<double> last_turn;
  std::optional<Utc> last;
  std::string target;
  for (const Event& event : events) {
    double drift = last ? square(kDriftAnHour) * std::max(0.0, (utc_of(event) - *last).hours()) : 0.0;
    last = utc_of(event);
    const Reading* reading = std::get_if<Reading>(&event);
    const Turn* turned = std::get_if<Turn>(&event);
    if (reading != nullptr && !reading->target.empty()) {
      if (!target.empty() && target != reading->target) drift += square(kSlew);
      target = reading->target;
    }
    const bool knob = turned != nullptr && turned->turned.control == Control::focus && turned->turned.amount != 0.0;
    const double slack = !knob ? 0.0 : !last_turn ? 0.5 : *last_turn * turned->turned.amount < 0.0 ? 1.0 : 0.0;
    for (std::size_t h = 0; h < 2; ++h) {
      Belief& belief = state.beliefs[h];
      belief.between(kLeft, kLeft) += drift / square(belief.mean[kWaves]);
      if (knob) turn(belief, turned->turned.amount, slack);
      if (reading != nullptr) log_weight[h] += take_reading(belief, *reading, state.read, h);
    }
    if (knob) last_turn = turned->turned.amount;
    state.read =
        state.read || (reading != nullptr && (reading->what == Reads::focus || reading->what == Reads::defocus));
    // A series, or a sign, settles the side for both: then they are one.
    if (reading != nullptr &&
        (reading->what == Reads::focus || (reading->what == Reads::defocus && reading->sign_known))) {
      const std::size_t likelier = log_weight[1] > log_weight[0] ? 1 : 0;
      state.beliefs[1 - likelier] = state.beliefs[likelier];
      log_weight = likelier == 0 ? std::array{0.0, -1e3} : std::array{-1e3, 0.0};
    }
  }
  const double top = std::max(log_weight[0], log_weight[1]);
  const double sum = std::exp(log_weight[0] - top) + std::exp(log_weight[1] - top);
  for (std::size_t h = 0; h < 2; ++h) state.weight[h] = std::exp(log_weight[h] - top) / sum;
  return state;
}

Advice advise_knob(const Knob& knob, bool sense_known, const KnobState& state, const ContrastCurve& curve) {
  if (!state.side_known()) return test_turn(state, curve);
  const Belief& belief = state.likelier();
  const double turns = std::round(belief.mean[kLeft] / kFinest) * kFinest;
  Advice advice;
  advice.control = Control::focus;
  advice.sigma = belief.sigma(kLeft);
  advice.gain = expected_gain(curve, states(belief, turns));
  const std::string off =
      fmt::format("Focus is {} turns away.", measured_words({std::abs(belief.mean[kLeft]), advice.sigma}));
  if (turns == 0.0 || !worth_doing(advice.gain)) {
    advice.gain = {0.0, advice.gain.sigma};
    advice.words = "Leave the knob alone. " + off;
    return advice;
  }
  const bool skyward = (turns > 0.0) == knob.clockwise_is_skyward;
  Knob learned = knob;
  learned.backlash_turns = belief.mean[kSlack];
  const KnobTurn hand = knob_turn(learned, knob.travel_per_turn * (skyward ? std::abs(turns) : -std::abs(turns)));
  std::string then;
  if (sense_known && hand.past > 0.0) {
    const double past = std::round(hand.past / kFinest) * kFinest;
    advice.turns = {{Control::focus, turns + std::copysign(past, turns)},
                    {Control::focus, -std::copysign(past, turns)}};
    then = fmt::format(", then {}, so that the mirror is pushed up last", in_words(advice.turns.back()));
  } else {
    advice.turns = {{Control::focus, turns}};
    if (!sense_known) then = ", ending the way you always end";
  }
  advice.words = fmt::format("{} Turn the knob {}{}; that {}.", off, in_words(advice.turns.front()), then,
                             gain_words(advice.gain));
  return advice;
}

}  // namespace halfarc
