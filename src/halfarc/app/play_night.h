// Play night: a script acted out with a hidden rig, every recording written as a capture program would.
//
// The folder gets the recordings, named by step and UT, one growing after another; its folder `truth` what nobody at
// the telescope knows: the truth of each recording and telescope.txt, how the telescope really stands.
//
// With a source of turns it is a game: after each practice clip the source is asked what the hand did; the next clip
// shows the result, and so on until the hand does nothing more. What the script would have done there is left out.
#pragma once

#include <array>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "halfarc/app/night_script.h"
#include "halfarc/app/simulate_recording.h"
#include "halfarc/base/parallel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/simulate/shot.h"

namespace halfarc {

// How much is recorded of everything: `full` as one would; `brief` in a minute or two of computing; `tiny` with coarse
// pixels and a few frames, to try the whole way in seconds.
enum class NightSize { full, brief, tiny };
std::size_t frames_of(NightSize size, Purpose purpose);

struct PlayedClip {
  std::filesystem::path recording;
  std::filesystem::path truth;
  Record record;
  ShotSpec shot;              // as it was simulated; its optics are the truth
  ShotTruth pictures;         // of a run only
  double knob = 0.0;          // turns, where the hand has turned it
  bool by_clockwise = false;  // the knob's last turn was clockwise
  double defocus_waves = 0.0;
  Angle zenith;  // where it lies on the image
};

// What the hand did after it had seen this clip; nothing when it leaves all as it is, and the night goes on.
using TurnSource = std::function<Result<std::vector<Turned>>(const PlayedClip& clip)>;
// Told what happens, line by line.
using Tell = std::function<Result<void>(const std::string& line)>;

struct PlayOptions {
  std::filesystem::path folder;
  std::uint64_t seed = 1;
  NightSize size = NightSize::brief;
  Threads threads;
  BeforeFrame pace{};            // may wait for the time of a frame
  TurnSource turns{};            // nobody: the script's own hand
  Tell tell{};                   // nobody
  int most_answers = 8;          // to one practice
  bool every_clip_asks = false;  // not only a practice
};

struct PlayedNight {
  std::vector<PlayedClip> clips;
  HiddenRig hidden;  // as it stands at the end
};

// The hidden rig at the beginning of a script, for a size. Errors: those of hidden_rig and of parts that are not there.
Result<HiddenRig> rig_for(const NightScript& script, Rig rig, const sky::Site& site, const PlayOptions& options);

// Errors: as of the source and the teller; cannot write; cancelled; what no shot can have. Earlier files stay.
Result<PlayedNight> play_night(const NightScript& script, HiddenRig hidden, const Rig& rig, const PlayOptions& options,
                               Progress& progress);

// The hidden rig in words, for telescope.txt.
std::string truth_words(const HiddenRig& hidden);

}  // namespace halfarc
