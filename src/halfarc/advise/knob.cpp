#include "halfarc/advise/knob.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <utility>

namespace halfarc {
namespace {

enum { kLeft, kWaves, kSlack, kNumbers };

constexpr double kAnywhere = 20.0;    // turns: nothing known
constexpr double kPitchUnsure = 0.3;  // of itself
constexpr double kDriftAnHour = 0.2;  // waves
constexpr double kSlew = 0.2;         // waves
constexpr double kHandShare = 1.0 / 30;
constexpr double kHandLeast = 0.003;  // turns: a degree
constexpr double kSideKnown = 0.8;    // probability
constexpr double kFinest = 0.001;     // turns
constexpr double kFinestTest = 0.01;  // turns
constexpr double kPast = 0.25;        // turns beyond the slack
constexpr std::array kBounds{Bounds{-100.0, 100.0}, Bounds{1e-3, 1e4}, Bounds{0.0, 2.0}};

double square(double x) { return x * x; }
double sense_of(double turns) { return turns < 0.0 ? -1.0 : turns > 0.0 ? 1.0 : 0.0; }
double to_finest(double turns) { return std::round(turns / kFinest) * kFinest; }
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

// Defocus: waves a turn times turns, or its size on the side `side`. What the belief cannot be bent to counts against
// it.
double learn_defocus(Belief& belief, const Reading& reading, double side) {
  const auto waves = [side](std::span<const double> at) {
    return Expected{{side * at[kWaves] * at[kLeft]}, {side * at[kWaves], side * at[kLeft], 0.0}};
  };
  const std::array start{side * reading.x / belief.mean[kWaves], belief.mean[kWaves], belief.mean[kSlack]};
  const double told = learn_bent(belief, waves, kBounds, start, std::array{reading.x}, std::array{reading.scatter.xx});
  return told - 0.5 * square(reading.x - waves(belief.mean).values[0]) / reading.scatter.xx;
}

// Reads::defocus has its sign here.
double take_reading(Belief& belief, const Reading& reading) {
  switch (reading.what) {
    case Reads::focus:
      return learn_one(belief, kLeft, reading);
    case Reads::waves_per_turn:
      return learn_one(belief, kWaves, reading);
    case Reads::backlash:
      return learn_one(belief, kSlack, reading);
    case Reads::defocus:
      return learn_defocus(belief, reading, 1.0);
    case Reads::coma:
    case Reads::colours:
      break;
  }
  return 0.0;
}

// Both sides of focus with what each has in its favour: clockwise mends in the first, not in the second.
struct Sides {
  std::array<Belief, 2> belief;
  std::array<double, 2> log_weight{};
};

// A size without a sign may lie on either side of either belief; for each side the likelier is kept.
Sides take_size(const Sides& before, const Reading& reading) {
  Sides after = before;
  after.log_weight.fill(-std::numeric_limits<double>::infinity());
  for (std::size_t from = 0; from < 2; ++from) {
    for (std::size_t to = 0; to < 2; ++to) {
      Belief belief = before.belief[from];
      const double told = before.log_weight[from] + learn_defocus(belief, reading, to == 0 ? 1.0 : -1.0);
      if (!(told > after.log_weight[to])) continue;
      after.belief[to] = std::move(belief);
      after.log_weight[to] = told;
    }
  }
  return after;
}

void take(Sides& sides, const Reading& reading) {
  if (reading.what == Reads::defocus && !reading.sign_known) {
    sides = take_size(sides, reading);
    return;
  }
  for (std::size_t h = 0; h < 2; ++h) sides.log_weight[h] += take_reading(sides.belief[h], reading);
  // A series, or a sign, settles the side for both: then they are one.
  if (reading.what != Reads::focus && reading.what != Reads::defocus) return;
  const std::size_t likelier = sides.log_weight[1] > sides.log_weight[0] ? 1 : 0;
  sides.belief[1 - likelier] = sides.belief[likelier];
  sides.log_weight = likelier == 0 ? std::array{0.0, -1e3} : std::array{-1e3, 0.0};
}

// In waves, before and after `turns` in all that end with `slack` turns of the slack taken up the other way (-1, 0, 1).
BeforeAfter states(const Belief& belief, double turns, double slack = 0.0) {
  const double waves = belief.mean[kWaves], left = belief.mean[kLeft];
  const double then = left - turns + slack * belief.mean[kSlack];
  BeforeAfter both;
  both.mean = {waves * left, 0.0, waves * then, 0.0};
  const double slope[2][kNumbers] = {{waves, left, 0.0}, {waves, then, slack * waves}};
  for (std::size_t i = 0; i < 2; ++i)
    for (std::size_t j = 0; j < 2; ++j)
      for (std::size_t k = 0; k < kNumbers; ++k)
        for (std::size_t l = 0; l < kNumbers; ++l)
          both.covariance[8 * i + 2 * j] += slope[i][k] * belief.between(k, l) * slope[j][l];
  both.covariance[10] += square(waves) * hand2(turns);
  return both;
}

Advice test_turn(const KnobState& state, const ContrastCurve& curve) {
  const Belief& belief = state.likelier();
  const double left = std::abs(belief.mean[kLeft]);
  const double slack = belief.mean[kSlack] + belief.sigma(kSlack);  // may be taken up first
  const double turns = std::max(kFinestTest, std::round((0.5 * left + slack) / kFinestTest) * kFinestTest);
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

KnobMotion knob_motion(double left, double arrived, double end, double slack) {
  if (end == 0.0) end = arrived != 0.0 ? arrived : left;
  const double sense = sense_of(end);
  const double net = arrived * sense < 0.0 ? left + sense * slack : left;
  if (net * sense >= 0.0) return {net, 0.0};
  const double past = sense * (kPast + slack);
  return {net - past, past};
}

double skyward_sense(const Knob& knob, bool sense_known) {
  return !sense_known ? 0.0 : knob.clockwise_is_skyward ? 1.0 : -1.0;
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
  Sides sides{{Belief::of(mean, sigma), Belief::of(mean, sigma)}};
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
    const double slack = !knob                                         ? 0.0
                         : state.arrived == 0.0                        ? 0.5
                         : state.arrived * turned->turned.amount < 0.0 ? 1.0
                                                                       : 0.0;
    for (Belief& belief : sides.belief) {
      belief.between(kLeft, kLeft) += drift / square(belief.mean[kWaves]);
      if (knob) turn(belief, turned->turned.amount, slack);
    }
    if (reading != nullptr) take(sides, *reading);
    if (knob) state.arrived = sense_of(turned->turned.amount);
    if (reading != nullptr && reading->arrived != 0.0) state.arrived = sense_of(reading->arrived);
    state.read =
        state.read || (reading != nullptr && (reading->what == Reads::focus || reading->what == Reads::defocus));
  }
  const double top = std::max(sides.log_weight[0], sides.log_weight[1]);
  const double sum = std::exp(sides.log_weight[0] - top) + std::exp(sides.log_weight[1] - top);
  for (std::size_t h = 0; h < 2; ++h) state.weight[h] = std::exp(sides.log_weight[h] - top) / sum;
  state.beliefs = std::move(sides.belief);
  return state;
}

Advice advise_knob(const Knob& knob, bool sense_known, const KnobState& state, const ContrastCurve& curve) {
  if (!state.side_known()) return test_turn(state, curve);
  const Belief& belief = state.likelier();
  const double end = skyward_sense(knob, sense_known);
  const KnobMotion motion = knob_motion(belief.mean[kLeft], state.arrived, end, belief.mean[kSlack]);
  const double first = to_finest(motion.first), back = to_finest(motion.back);
  const double last = sense_of(back != 0.0 ? back : first);
  const double opened = state.arrived * last < 0.0 ? last : 0.0;
  Advice advice;
  advice.control = Control::focus;
  advice.sigma = belief.sigma(kLeft);
  advice.gain = expected_gain(curve, states(belief, first + back, opened));
  const std::string off =
      fmt::format("Focus is {} turns away.", measured_words({std::abs(belief.mean[kLeft]), advice.sigma}));
  if (first == 0.0 || !worth_doing(advice.gain)) {
    advice.gain = {0.0, advice.gain.sigma};
    advice.words = "Leave the knob alone. " + off;
    return advice;
  }
  advice.turns = {{Control::focus, first}};
  std::string then;
  if (back != 0.0) {
    advice.turns.push_back({Control::focus, back});
    then = fmt::format(", then {}, so that {}", in_words(advice.turns.back()),
                       sense_known ? "the mirror is pushed up last" : "it arrives as before");
  } else if (!sense_known && state.arrived == 0.0) {
    then = ", ending the way you always end";
  }
  advice.words = fmt::format("{} Turn the knob {}{}; that {}.", off, in_words(advice.turns.front()), then,
                             gain_words(advice.gain));
  return advice;
}

}  // namespace halfarc
