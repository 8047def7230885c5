#include "halfarc/advise/night_advice.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace halfarc {
namespace {

AdviceBasis usual() {
  const Telescope telescope = schmidt_cassegrain();
  AdviceBasis basis;
  basis.pupil = {telescope.aperture, telescope.obstruction};
  basis.screws = screws_of(telescope, telescope.back_focus, usual_screws(telescope), 0, basis.wavelength);
  basis.corrector = Corrector{};
  basis.corrector->marks = 5.0;
  basis.knob = telescope.knob;
  basis.waves_per_turn = 12.0;
  return basis;
}

Reading coma(double x) { return {Utc::unix_s(0.0), Reads::coma, x, 0.0, {2.5e-3, 0.0, 2.5e-3}}; }
Reading focus(double turns) { return {Utc::unix_s(60.0), Reads::focus, turns, 0.0, {2.5e-5, 0.0, 0.0}}; }
Reading colours(double along) {
  Reading reading{Utc::unix_s(120.0), Reads::colours, 0.0, along, {4e-4, 0.0, 4e-4}};
  reading.air = Angle::arcsec(1.0);
  return reading;
}

TEST(NightAdvice, SaysNothingOfWhatWasNotRead) {
  const auto night = advise(usual(), {}, {});
  ASSERT_TRUE(night.has_value());
  EXPECT_TRUE(night->advice.empty());
  EXPECT_TRUE(night->words.empty());
  EXPECT_FALSE(night->responses.screws.has_value());
}

TEST(NightAdvice, PutsWhatGainsMostFirst) {
  const auto far_focus = advise(usual(), {}, {{coma(0.4), focus(0.1)}, {}});
  ASSERT_TRUE(far_focus.has_value());
  EXPECT_EQ(far_focus->advice.front().control, Control::focus);
  const auto far_coma = advise(usual(), {}, {{coma(2.0), focus(0.02)}, {}});
  ASSERT_TRUE(far_coma.has_value());
  EXPECT_EQ(far_coma->advice.front().control, Control::screw_a);
}

TEST(NightAdvice, SendsToRecordWhenNothingIsLeftToTurn) {
  const auto night = advise(usual(), {}, {{coma(0.02), focus(0.002), colours(0.01)}, {}});
  ASSERT_TRUE(night.has_value());
  EXPECT_EQ(night->advice.size(), 4U);
  EXPECT_NE(night->words.find("record"), std::string::npos);
}

TEST(NightAdvice, CarriesWhatWasLearnedIntoTheNextNight) {
  History night;
  night.readings = {coma(1.0)};
  night.turns.push_back({Utc::unix_s(10.0), {Control::screw_a, 1.0 / 16.0}});
  Reading after = coma(2.0);
  after.utc = Utc::unix_s(20.0);
  night.readings.push_back(after);
  const auto first = advise(usual(), {}, night);
  ASSERT_TRUE(first.has_value());
  EXPECT_NEAR(first->responses.screws->x, 16.0, 3.0);
  // What is known already asks for no test.
  const auto second = advise(usual(), first->responses, {{coma(1.0)}, {}});
  ASSERT_TRUE(second.has_value());
  EXPECT_FALSE(second->advice.front().test);
  EXPECT_TRUE(advise(usual(), {}, {{coma(1.0)}, {}})->advice.front().test);
}

TEST(NightAdvice, SaysWhenToTrimTheLeversAgain) {
  AdviceBasis basis = usual();
  for (int i = 0; i < 5; ++i) basis.hours.push_back({Utc::unix_s(3600.0 * i), Angle::arcsec(1.0 + 0.2 * i)});
  const auto night = advise(basis, {}, {{colours(0.5)}, {}});
  ASSERT_TRUE(night.has_value());
  ASSERT_TRUE(night->next_trim.has_value());
  EXPECT_NE(night->advice.front().words.find("Trim them again at 00:"), std::string::npos)
      << night->advice.front().words;
}

TEST(NightAdvice, RefusesReadingsThatAreNone) {
  EXPECT_FALSE(advise(usual(), {}, {{coma(std::numeric_limits<double>::quiet_NaN())}, {}}).has_value());
}

TEST(NightAdvice, ReadTwiceIsSurerAndSaysTheSame) {
  const auto once = advise(usual(), {}, {{coma(0.5)}, {}});
  const auto twice = advise(usual(), {}, {{coma(0.5), coma(0.5)}, {}});
  EXPECT_NEAR(once->screws->coma().value, twice->screws->coma().value, 1e-4);
  EXPECT_NEAR(once->screws->coma().sigma / std::sqrt(2.0), twice->screws->coma().sigma, 1e-4);
}

}  // namespace
}  // namespace halfarc
