// ScenePath: how the scene itself changes while a recording runs: the globe spins, its moons move, the field turns.
//
// These are slow. A scene is drawn anew whenever something may have moved by a small part of a pixel, and stands still
// between. Valid: recordings of minutes. Accuracy: nothing is farther from its place than half of `kSceneStep`, beside
// what the frame's corner turns by.
#pragma once

#include "halfarc/base/duration.h"
#include "halfarc/base/pixel.h"
#include "halfarc/simulate/body.h"
#include "halfarc/simulate/pointing.h"

namespace halfarc {

inline constexpr double kSceneStep = 0.04;  // pixels

// The field's turn since the start, clockwise on the image.
Angle field_turn_at(const Pointing& pointing, Duration t);

// The body as it stands a time after the start: turned with the field about the given point, spun, its moons moved. The
// winds are too slow to be seen in minutes. Valid: any time. Accuracy: exact.
BodySpec body_at(const BodySpec& body, const Pointing& pointing, Duration t);

// How long a scene may stand before something in a frame of that size moves by kSceneStep; infinite when nothing does.
Duration scene_lasts(const BodySpec& body, const Pointing& pointing, PlateScale scale, double farthest_px);

}  // namespace halfarc
