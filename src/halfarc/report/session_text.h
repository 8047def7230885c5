// A session in plain text, and the sentences that its page shares with it.
#pragma once

#include <string>

#include "halfarc/report/session.h"

namespace halfarc {

std::string session_text(const Session& session);

// "14 February 2027"; the date as it is where it is none.
std::string date_words(const std::string& date);

// "jupiter.fits, Jupiter at 21:22 UT: 640 of 800 frames, real down to 0.74 ± 0.04"".
std::string image_words(const SessionImage& image);

// "21 %", "2.3 times": what mending would gain.
std::string gain_words(double gain);

// How well it is known, and for what: "tube heat, for Jupiter; predicted, no larger than its own error".
std::string ground_words(const NextTime& next);

// "38 ± 3 %".
std::string share_words(const Measured<double>& share);

}  // namespace halfarc
