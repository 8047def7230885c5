// The budget as text and as the document halfarc.budget/1 (docs/contracts/budget.schema.json).
#pragma once

#include <string>

#include "halfarc/app/blur_budget.h"

namespace halfarc {

std::string budget_words(const BlurBudget& budget);
std::string budget_json(const BlurBudget& budget);

// What to do next, by the row that gains most: "focus: turn the focus knob; a third more contrast". "Leave it alone, go
// and record" when nothing that a hand can change gains a twentieth, or more than its own error.
std::string what_next(const Budget& budget);

}  // namespace halfarc
