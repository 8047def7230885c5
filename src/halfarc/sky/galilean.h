// The four great moons of Jupiter: where they stand beside the disc, and when they or their shadows cross it or vanish.
#pragma once

#include <array>
#include <string_view>
#include <vector>

#include "halfarc/base/utc.h"
#include "halfarc/sky/moon_offset.h"
#include "halfarc/sky/place.h"

namespace halfarc::sky {

enum class GalileanMoon { io, europa, ganymede, callisto };

std::string_view name_of(GalileanMoon moon);

// From Jupiter's centre: au, ICRF axes, geometric.
// Valid: 1900 to 2100.   Accuracy: rms against JPL's vectors 2010 to 2030: Io 110 km, Europa 100, Ganymede 200,
// Callisto 420 (0.03", 0.03", 0.06", 0.13" at opposition).   Source: [Lainey2006] theory L1.2, shortened.
std::array<Vec3, 4> galilean_from_jupiter(Tt t);

// Beside the disc as seen from the observer, in Jupiter's equatorial radii (moon_offset.h). Valid, Accuracy, Source: as
// above.
std::array<MoonOffset, 4> galilean_offsets(const Place& jupiter, const Observer& observer);

enum class MoonEventKind {
  transit,      // the moon passes before the disc
  occultation,  // it passes behind the disc
  shadow,       // its shadow passes over the disc
  eclipse,      // it passes through Jupiter's shadow
};

struct MoonEvent {
  GalileanMoon moon = GalileanMoon::io;
  MoonEventKind kind = MoonEventKind::transit;
  bool begins = true;
  Utc at;  // when the moon's centre, or that of its shadow, stands on the outline
};

// "Io's shadow comes on the disc" and the like.
std::string describe(const MoonEvent& event);

// All events in [from, to], in order of time, seen from the Earth. An eclipse that begins or ends behind the disc and
// an occultation that begins or ends in the shadow cannot be seen and are left out. Valid: as above.   Accuracy:
// against 179 events integrated from JPL's states 2010 to 2030, rms and worst: Io 6 and 10 s, Europa 5 and 12 s,
// Ganymede 18 and 33 s, Callisto 52 and 89 s, more at a grazing passage. The moons are taken as points: the moon itself
// takes 4 min (Io) to 10 min (Callisto) to cross the edge.
std::vector<MoonEvent> galilean_events(Utc from, Utc to);

}  // namespace halfarc::sky
