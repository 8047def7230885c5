#include "halfarc/advise/night_advice.h"

#include <fmt/format.h>

#include <algorithm>
#include <span>

namespace halfarc {
namespace {

void advise_collimation(const AdviceBasis& basis, const Responses& before, std::span<const Event> events,
                        NightAdvice& night) {
  ScrewState state = follow_screws(before.screws.value_or(expected_response(*basis.screws)), events);
  if (!state.read) return;
  night.advice.push_back(advise_screws(*basis.screws, state, coma_curve(basis.pupil, basis.wavelength)));
  night.responses.screws = state.response();
  night.screws = std::move(state);
}

void advise_corrector(const AdviceBasis& basis, const Responses& before, std::span<const Event> events,
                      NightAdvice& night) {
  const Corrector& corrector = *basis.corrector;
  LeverState state = follow_levers(corrector, before.corrector.value_or(expected_response(corrector)), events);
  if (!state.read) return;
  const ContrastCurve curve = colour_curve(basis.colour_inside);
  std::vector<Advice> both = advise_levers(corrector, state, curve, state.air);
  night.next_trim = next_trim(basis.hours, state.air, curve);
  if (night.next_trim)
    both.front().words += fmt::format(" Trim them again at {} UT.", night.next_trim->iso(0).substr(11, 5));
  night.advice.insert(night.advice.end(), both.begin(), both.end());
  night.responses.corrector = state.response();
  night.levers = std::move(state);
}

void advise_focus(const AdviceBasis& basis, const Responses& before, std::span<const Event> events,
                  NightAdvice& night) {
  KnobState state = follow_knob(before.knob.value_or(expected_response(basis.knob, *basis.waves_per_turn)), events);
  if (!state.read) return;
  night.advice.push_back(
      advise_knob(basis.knob, basis.knob_sense_known, state, defocus_curve(basis.pupil, basis.wavelength)));
  night.responses.knob = state.response();
  night.knob = std::move(state);
}

}  // namespace

Result<NightAdvice> advise(const AdviceBasis& basis, const Responses& before, const History& history) {
  HALFARC_TRY(const std::vector<Event> events, in_order(history));
  NightAdvice night;
  night.responses = before;
  if (basis.screws) advise_collimation(basis, before, events, night);
  if (basis.corrector) advise_corrector(basis, before, events, night);
  if (basis.waves_per_turn) advise_focus(basis, before, events, night);
  night.advice = ranked(std::move(night.advice));
  if (go_and_record(night.advice)) night.words = "Nothing is left to turn that would show: go and record.";
  return night;
}

}  // namespace halfarc
