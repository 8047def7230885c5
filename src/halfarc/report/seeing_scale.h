// A seeing scale in Roman numerals, for forms that ask for one: the scale of Antoniadi, I the best and V the worst.
//
// The scale was made for the eye and has no arcseconds of its own; the table below is common practice, from memory, and
// a report always gives the measured arcseconds first.
#pragma once

#include <string_view>

#include "halfarc/base/angle.h"

namespace halfarc {

// I below 0.8", II below 1.3", III below 2.2", IV below 3.5", V beyond; of the long-exposure width at the zenith.
// Valid: width > 0. Accuracy: a step either way; common practice.
std::string_view antoniadi(Angle width);

}  // namespace halfarc
