// Ground: a cratered globe without air, seen close up, lit by a Sun that casts shadows.
//
// The globe's heights (highlands, level plains, craters) are drawn on the scene's own grid as the distance of the
// ground towards us behind each cell. From every cell a ray is followed towards the Sun: what it clears the ground by,
// as an angle against the Sun's radius, says how much of the Sun is seen there. So heights throw shadows that grow long
// towards the terminator, and summits beyond it catch the first light. Brightness follows Lommel and Seeliger on the
// slopes. Valid: away from the very limb, where a map of distances hides what lies behind. Accuracy: heights that stand
// outside the frame by more than a sixth of it throw no shadow into it. Sources: craters.h, [McEwen1991] (the law
// with L = 1).
#pragma once

#include "halfarc/base/parallel.h"
#include "halfarc/simulate/body.h"
#include "halfarc/simulate/scene.h"

namespace halfarc {

// Fills the scene's cells. The body's centre may lie far outside the frame. The same for any number of threads.
void draw_ground(const BodySpec& body, Scene& scene, Threads threads = {});

// The height of the ground above the mean sphere, in radii, at a place on the unit sphere (body's own axes), without
// craters, and how much of it is plain (0 highland, 1 plain). Valid: any. Accuracy: exact as stated.
struct Terrain {
  double height = 0.0;
  double plain = 0.0;
};
Terrain terrain_at(Vector3 place, double finest, std::uint64_t seed);

}  // namespace halfarc
