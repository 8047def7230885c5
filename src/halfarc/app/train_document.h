// What a solved train says: the words on the terminal and the JSON document `halfarc.train/1`.
#pragma once

#include <string>

#include "halfarc/app/solve_train.h"

namespace halfarc {

// The words, and where they were asked for, the reason of every number.
std::string train_words(const TrainAnswer& answer);
std::string explain_words(const TrainAnswer& answer);

// Its numbers are those of the reasons, which stand in `why`.
std::string train_json(const TrainAnswer& answer);

}  // namespace halfarc
