// Pointing: where the mount lets the image wander, as a function of time.
//
// What a mount does wrong adds up: a steady drift; the worm's periodic error; presses of a key, each of which moves the
// image evenly while it lasts; nudges by hand, after which the tube rings and settles; and the wind, which shakes it.
// The spectrum of the shake is that of wind speed at a height of a few metres, ~ (1 + f / fc)^(-5/3), as the tube
// answers it: a spring of one resonance, |H|^2 = 1 / ((1 - (f/f0)^2)^2 + (f / (q f0))^2).
// Offsets are of the image on the sensor, x right and y down. Sources: [Kaimal1972] (slope of the wind's spectrum),
// mechanics of one spring; the default numbers are common practice for a fork of this size.
#pragma once

#include <vector>

#include "halfarc/base/angle.h"
#include "halfarc/base/angular_rate.h"
#include "halfarc/base/duration.h"
#include "halfarc/base/pixel.h"
#include "halfarc/base/random.h"
#include "halfarc/simulate/random_signal.h"

namespace halfarc {

// amplitude * sin(2 pi (t / period + phase)) along a direction on the image.
struct PeriodicError {
  SkyOffset amplitude;
  Duration period = Duration::s(480.0);
  double phase = 0.0;  // turns
};

// A key of the handset: the image has moved by `by` when the key is let go.
struct KeyPress {
  Duration at;
  Duration lasting = Duration::s(0.3);
  SkyOffset by;
};

// A hand on the tube: out to `peak` and back, ringing at the tube's own frequency, fading by e within `settling`.
struct Nudge {
  Duration at;
  SkyOffset peak;
  double cycles_per_s = 4.0;
  Duration settling = Duration::s(0.8);
};

struct WindShake {
  SkyOffset rms;              // along each axis; 0: no wind
  double gusts_per_s = 0.3;   // corner fc of the wind's spectrum
  double cycles_per_s = 5.0;  // resonance f0 of tube and mount
  double quality = 8.0;       // q: how long they ring
};

struct Pointing {
  SkyOffset drift_per_second;    // of the image across the sensor
  Angle jitter;                  // rms along each axis, anew every frame
  AngularRate field_rotation{};  // of the image, clockwise, about a point
  SkyOffset turned_about{};      // that point, from the middle of the frame
  PeriodicError periodic{};
  WindShake wind{};
  std::vector<KeyPress> keys{};
  std::vector<Nudge> nudges{};
};

// Everything but drift, jitter and rotation: what moves within an exposure.
class PointingPath {
 public:
  PointingPath(const Pointing& pointing, Rng rng);

  // The same for the same arguments. Valid: any time. Accuracy: exact as stated.
  SkyOffset at(Duration t) const;

  // Whether there is anything of the kind.
  bool still() const;

 private:
  Pointing pointing_;
  RandomSignal shake_x_;
  RandomSignal shake_y_;
};

// The pieces, for the start of the recording at 0. Valid: any time. Accuracy: exact.
SkyOffset periodic_error_at(const PeriodicError& error, Duration t);
SkyOffset key_press_at(const KeyPress& press, Duration t);
SkyOffset nudge_at(const Nudge& nudge, Duration t);

// The power of the wind's shake at a frequency, on any scale. Valid: cycles_per_s >= 0. Accuracy: exact as stated.
double shake_power(const WindShake& wind, double cycles_per_s);

}  // namespace halfarc
