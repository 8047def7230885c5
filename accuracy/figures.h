// Figures: what many trials against a known truth say of one reading.
#pragma once

#include <cstddef>
#include <span>
#include <string>

namespace halfarc::accuracy {

// One number that was read, against the truth. Both in the unit of its ladder.
struct Trial {
  double error = 0.0;  // read less true
  double sigma = 0.0;  // as stated beside it
};

struct Figures {
  std::size_t trials = 0;
  double bias = 0.0;  // mean error
  double bias_sigma = 0.0;
  double rms = 0.0;     // of the errors about nil
  double stated = 0.0;  // rms of the stated sigmas
  double z2 = 0.0;      // mean square of error / sigma: 1 when the stated sigmas are honest
  double within = 0.0;  // share of the trials that err by less than the bar
};

// Valid: at least one trial. `bar` is the error that `within` counts against.
Figures figures_of(std::span<const Trial> trials, double bar);

// What is promised of a reading: an rms of at most `limit`; or, where a share is given, that at least this share of the
// trials errs by no more than `limit`.
struct Bar {
  double limit = 0.0;
  double share = 0.0;
};

enum class Verdict { held, missed, unpromised };

Verdict judge(const Figures& figures, const Bar& bar);

// Whether the bar is missed by more than so few trials would by chance: beyond three standard errors of an rms, or of a
// share. So a short ladder finds what is broken without crying wolf.
bool clearly_missed(const Figures& figures, const Bar& bar);

// The same of honesty: z2 outside of what `trials` independent normal errors give in all but one of a thousand cases.
// Source: the chi-square distribution through [WilsonHilferty1931].
bool clearly_dishonest(const Figures& figures);

}  // namespace halfarc::accuracy
