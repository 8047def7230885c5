#include "halfarc/app/budget_document.h"

#include <gtest/gtest.h>

#include "halfarc/budget/causes.h"

namespace halfarc {
namespace {

Blur level(Cause cause, double value, double moved) {
  const auto at = [](double v) { return [=](const SkyFrequency&) { return v; }; };
  return {cause, at(value), {at(moved)}, false, false, "so much"};
}

TEST(BudgetDocument, NextIsWhatGainsMostAndAHandCanDo) {
  const Budget budget =
      budget_of({level(Cause::air, 0.3, 0.3), level(Cause::focus, 0.8, 0.78), level(Cause::collimation, 0.9, 0.9)});
  const std::string next = what_next(budget);
  EXPECT_NE(next.find("focus: turn the focus knob"), std::string::npos) << next;
  EXPECT_NE(next.find("25 % more"), std::string::npos) << next;
}

TEST(BudgetDocument, WhatIsNotSureOrNotWorthItIsLeftAlone) {
  EXPECT_NE(what_next(budget_of({level(Cause::focus, 0.8, 0.5)})).find("leave it alone"), std::string::npos);
  EXPECT_NE(what_next(budget_of({level(Cause::focus, 0.97, 0.97)})).find("leave it alone"), std::string::npos);
  EXPECT_NE(what_next(budget_of({level(Cause::air, 0.1, 0.1)})).find("leave it alone"), std::string::npos);
}

TEST(BudgetDocument, LargeGainsAreToldAsMultiples) {
  EXPECT_NE(what_next(budget_of({level(Cause::focus, 0.25, 0.25)})).find("4.0 times"), std::string::npos);
}

}  // namespace
}  // namespace halfarc
