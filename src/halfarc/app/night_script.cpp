#include "halfarc/app/night_script.h"

#include <iterator>

namespace halfarc {
namespace {

// Sizes of frames in which each target has room.
constexpr int kStar = 160;
constexpr int kWideStar = 240;
constexpr int kGiant = 304;
constexpr int kWideGiant = 400;
constexpr int kSmallDisc = 144;

const char* const kAmplifier = "amplifier";
const char* const kCorrector = "corrector";

NightTarget star() { return {}; }
NightTarget planet(sky::Body body) { return {body, {}, 0.0, {}}; }
NightTarget near_terminator() { return {sky::Body::moon, {}, 0.0, {-0.12, 0.30}}; }

Record clip(std::string name, Purpose purpose, int width, int height) {
  Record record;
  record.name = std::move(name);
  record.purpose = purpose;
  record.width = width;
  record.height = height;
  return record;
}

Record practice(std::string name, Purpose purpose, int size) {
  Record record = clip(std::move(name), purpose, size, size);
  record.practice = true;
  return record;
}

Record as_it_falls(std::string name, int size) {
  Record record = clip(std::move(name), Purpose::finding, size, size);
  record.centred = false;
  return record;
}

Record run(std::string name, int width, int height) { return clip(std::move(name), Purpose::run, width, height); }

using Steps = std::vector<NightStep>;

void append(Steps& steps, Steps more) {
  steps.insert(steps.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

Steps cooling() {
  return {
      {"Put up, plugged in, the finder set: half an hour is soon gone.", Wait{30.0}},
      {"Point at a bright star, high up and easy to find again.", PointAt{star()}},
      {"Turn the knob until it is a small ring: a ring shows the air in the tube, a point does not.",
       Mend{Mending::focus, 1.0}, Hand::script},
      {"A tenth of a turn is enough.", Turned{Control::focus, 0.15}, Hand::script},
      {"Expose so that the ring is not white.", Expose{0.5}},
      {"Too soon: the mirror is still as warm as the room, and its warm air runs through the ring.",
       clip("cooling-too-soon", Purpose::cooling, kStar, kStar)},
      {"Wait. The mirror has to come down to the air; nothing else can be judged before.", Wait{125.0}},
      {"As the tube cools it shrinks, and focus has moved: bring the ring back.", Mend{Mending::focus, 1.0},
       Hand::script},
      {"A tenth of a turn out again.", Turned{Control::focus, 0.15}, Hand::script},
      {"Look again: the ring is quieter.", clip("cooling-later", Purpose::cooling, kStar, kStar)},
  };
}

Steps collimating() {
  return {
      {"Expose anew for the ring as it stands.", Expose{0.5}},
      {"The hole is not in the middle of the ring: the first clip says how far and which way.",
       practice("collimate-before", Purpose::collimation, kStar)},
      {"Mistake: an eighth of a turn of screw a, far too much, and the star leaves the field.",
       Turned{Control::screw_a, 0.125}},
      {"Find the star again and look: the hole has crossed the ring.",
       clip("collimate-too-far", Purpose::collimation, kStar, kStar)},
      {"Turn it back.", Turned{Control::screw_a, -0.125}},
      {"Now what the first clip asked for, two screws and small amounts.", Mend{Mending::collimation, 0.8}},
      {"Look after every turn.", clip("collimate-nearly", Purpose::collimation, kStar, kStar)},
      {"The little that is left.", Mend{Mending::collimation, 1.0}},
      {"The hole stands in the middle: leave it alone.", clip("collimate-after", Purpose::collimation, kStar, kStar)},
  };
}

Steps adding_the_amplifier() {
  return {
      {"Back to focus before anything is put in, so that it is known where it was.", Mend{Mending::focus, 1.0},
       Hand::script},
      {"Put the amplifier in: focus moves far, and the weight pulls the star aside.", PutIn{kAmplifier}},
      {"Nothing but a glow: the star is there, but its light covers the whole frame.",
       as_it_falls("amplifier-lost", kWideStar)},
      {"Mistake: the knob is turned the wrong way.", Turned{Control::focus, 0.5}, Hand::script},
      {"Fainter still: that was the wrong way.", as_it_falls("amplifier-wrong-way", kWideStar)},
      {"The other way, as far as it takes, and a little more slowly at the end.", Mend{Mending::focus, 0.96},
       Hand::script},
      {"Found again, with the keys.", clip("amplifier-found", Purpose::finding, kWideStar, kWideStar)},
  };
}

Steps adding_the_corrector() {
  return {
      {"Put the corrector in, its levers at 0. Focus moves again, by less.", PutIn{kCorrector}},
      {"Look how far.", as_it_falls("corrector-in", kWideStar)},
      {"Focus again.", Mend{Mending::focus, 0.98}, Hand::script},
      {"The star is a small ring or a point; now to a planet.",
       clip("corrector-found", Purpose::finding, kWideStar, kWideStar)},
  };
}

Steps exposing() {
  return {
      {"Let Jupiter climb out of the thick air, and the mirror settle.", Wait{30.0}},
      {"Point at Jupiter.", PointAt{planet(sky::Body::jupiter)}},
      {"Focus by eye on the edge of the disc.", Mend{Mending::focus, 1.0}, Hand::script},
      {"Choose exposure and gain for three quarters of the scale.", Expose{0.75}},
      {"Mistake: longer looks brighter, and the zones burn out.", Expose{1.6}, Hand::script},
      {"Nothing can bring back what is white.", clip("planet-too-bright", Purpose::exposure, kGiant, kGiant)},
      {"Back to three quarters.", Expose{0.75}, Hand::script},
  };
}

Steps setting_the_levers() {
  Record key = clip("key-up", Purpose::camera_angle, kWideGiant, kWideGiant);
  key.key_up = true;
  return {
      {"Hold the key `up` in the middle of a clip: it tells how the camera is turned.", key},
      {"Levers at 0: red below, blue above, by what the air does.",
       practice("levers-at-zero", Purpose::colours, kGiant)},
      {"Open both levers. Mistake: the corrector is rolled, so it pulls aside.", Turned{Control::levers, 3.0}},
      {"The fringes now lie askew.", clip("levers-rolled", Purpose::colours, kGiant, kGiant)},
      {"Roll the corrector upright and set the levers by the clip.", Mend{Mending::colours, 0.85}},
      {"Nearly together.", clip("levers-nearly", Purpose::colours, kGiant, kGiant)},
      {"The last half mark.", Mend{Mending::colours, 1.0}},
      {"Red and blue lie together.", clip("levers-set", Purpose::colours, kGiant, kGiant)},
  };
}

// Nine clips a quarter of a wave apart and more, from both sides.
Steps focusing() {
  constexpr double kStep = 0.006;  // turns, a quarter of a wave with the knob of the default rig
  constexpr double kPast = 0.15;
  constexpr double kSlack = 0.05;  // as rig.toml says
  Steps steps = {{"Opening the levers has changed focus a little: back to where it seems best.",
                  Mend{Mending::focus, 1.0}, Hand::script},
                 {"Go past and come back, so that every clip is arrived at by the same push.",
                  Turned{Control::focus, kPast + 4.0 * kStep}, Hand::script},
                 {"Come back.", Turned{Control::focus, -kPast}, Hand::script}};
  for (int i = 0; i < 5; ++i) {
    if (i > 0)
      steps.push_back({"A hair further counter-clockwise.", Turned{Control::focus, -2.0 * kStep}, Hand::script});
    steps.push_back({"One clip at each position.",
                     clip("focus-ccw-" + std::to_string(i + 1), Purpose::focus_series, kGiant, kGiant)});
  }
  steps.push_back({"Now from the other side: past it first.", Turned{Control::focus, -kPast}, Hand::script});
  steps.push_back({"And up, through the slack.", Turned{Control::focus, kPast + kSlack + kStep}, Hand::script});
  for (int i = 0; i < 4; ++i) {
    if (i > 0) steps.push_back({"A hair further clockwise.", Turned{Control::focus, 2.0 * kStep}, Hand::script});
    Record record = clip("focus-cw-" + std::to_string(i + 1), Purpose::focus_series, kGiant, kGiant);
    record.practice = i == 3;
    steps.push_back({"One clip at each position.", record});
  }
  steps.push_back({"Set the knob where the series says.", Mend{Mending::focus, 1.0}});
  return steps;
}

Steps recording() {
  Record lossy = run("run-giant-dropped", kGiant, kGiant);
  lossy.clock.dropped = 0.12;
  lossy.clock.lost_in_a_row = 8.0;
  Record odd_clock = run("run-ruddy", kSmallDisc, kSmallDisc);
  odd_clock.clock_wrong_by = Duration::hours(1.0);
  return {
      {"A first run. Mistake: something else keeps the disc busy, and frames are lost.", lossy},
      {"The run again, with the disc left in peace.", run("run-giant", kGiant, kGiant)},
      {"Point at Mars.", PointAt{planet(sky::Body::mars)}},
      {"Choose exposure and gain anew.", Expose{0.75}},
      {"It stands at another height, so the levers are set anew.", Mend{Mending::colours, 1.0}, Hand::script},
      {"The tube has cooled on: a touch of focus.", Mend{Mending::focus, 1.0}, Hand::script},
      {"A run of Mars. Mistake: the computer had gone over to summer time, an hour ahead.", odd_clock},
      {"Point at the Moon, near the terminator.", PointAt{near_terminator()}},
      {"Choose exposure and gain anew.", Expose{0.75}},
      {"Levers again.", Mend{Mending::colours, 1.0}, Hand::script},
      {"A touch of focus.", Mend{Mending::focus, 1.0}, Hand::script},
      {"A last run, on craters in low light.", run("run-moon", kGiant, kSmallDisc + 80)},
  };
}

NightScript from_the_house() {
  NightScript script;
  script.out = Utc::civil(2027, 2, 14, 17, 45, 0.0).value();  // first-quarter Moon; Jupiter and Mars near opposition
  return script;
}

NightScript on_jupiter() {
  NightScript script = from_the_house();
  script.steps = {
      {"The telescope has cooled since the evening.", Wait{185.0}},
      {"It has been collimated.", Mend{Mending::collimation, 1.0}, Hand::script},
      {"Point at Jupiter.", PointAt{planet(sky::Body::jupiter)}},
      {"Focus by eye on the edge of the disc.", Mend{Mending::focus, 1.0}, Hand::script},
      {"Choose exposure and gain for three quarters of the scale.", Expose{0.75}},
  };
  return script;
}

NightScript begun() {
  NightScript script = from_the_house();
  script.at_first_without = {kAmplifier, kCorrector};
  script.steps = cooling();
  append(script.steps, collimating());
  return script;
}

}  // namespace

NightScript whole_night() {
  NightScript script = begun();
  append(script.steps, adding_the_amplifier());
  append(script.steps, adding_the_corrector());
  append(script.steps, exposing());
  append(script.steps, setting_the_levers());
  append(script.steps, focusing());
  append(script.steps, recording());
  return script;
}

NightScript collimation_only() { return begun(); }

NightScript colours_only() {
  NightScript script = on_jupiter();
  append(script.steps, setting_the_levers());
  return script;
}

NightScript focus_only() {
  NightScript script = on_jupiter();
  script.steps.push_back({"The levers stand where they should.", Mend{Mending::colours, 1.0}, Hand::script});
  append(script.steps, focusing());
  return script;
}

}  // namespace halfarc
