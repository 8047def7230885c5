// The train drawn to scale, cut open along its axis.
#pragma once

#include <string>

#include "halfarc/app/solve_train.h"

namespace halfarc {

// An SVG picture, black on white: every part from the rear port to the sensor with its name, length and opening; the
// light of a star on the axis and all light that reaches the sensor, through lenses and glass to the focus; a ruler;
// and the distances that matter. Of the telescope only the end of its tube is shown.
std::string train_drawing(const TrainAnswer& answer);

}  // namespace halfarc
