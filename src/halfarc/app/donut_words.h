// What `check` says of a star out of focus: lines of words, and what to do about it.
#pragma once

#include <string>
#include <vector>

#include "halfarc/app/donut.h"

namespace halfarc {

std::vector<std::string> donut_lines(const Donut& donut);
std::vector<std::string> donut_advice(const Donut& donut);

}  // namespace halfarc
