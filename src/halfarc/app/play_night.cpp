#include "halfarc/app/play_night.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <system_error>

#include "halfarc/base/atomic_file.h"
#include "halfarc/base/random.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

constexpr Duration kTurnTakes = Duration::s(20.0);
constexpr Duration kPartTakes = Duration::minutes(3.0);
constexpr Duration kSlewTakes = Duration::minutes(2.0);
constexpr Duration kBetweenClips = Duration::s(5.0);
constexpr double kCoarse = 2.0;  // how much wider the pixels of a tiny night are

// The parts of `wanted` that `now` has, and one more, in the order of `wanted`.
Train with_part_back(const Train& wanted, const Train& now, const std::string& name) {
  Train train;
  for (const Part& part : wanted.parts) {
    const bool there = part.name == name || std::any_of(now.parts.begin(), now.parts.end(),
                                                        [&](const Part& p) { return p.name == part.name; });
    if (there) train.parts.push_back(part);
  }
  return train;
}

// Plays the steps of one night; holds what they change.
class Player {
 public:
  Player(HiddenRig hidden, const Rig& rig, const PlayOptions& options, Progress& progress)
      : rig_(rig), options_(options), progress_(progress), night_{{}, std::move(hidden)} {}

  Result<void> play(const NightStep& step) {
    const bool by_owner = options_.turns && step.hand == Hand::owner;
    const bool of_hand = std::holds_alternative<Turned>(step.deed) || std::holds_alternative<Mend>(step.deed);
    if (by_owner && of_hand) return {};
    if (const auto* record = std::get_if<Record>(&step.deed)) {
      if (options_.turns && !record->practice && practised_ == record->purpose) return {};
    }
    HALFARC_CHECK(tell(step.says));
    return std::visit([&](const auto& deed) { return act(deed); }, step.deed);
  }

  PlayedNight take() { return std::move(night_); }

 private:
  HiddenRig& hidden() { return night_.hidden; }

  Result<void> tell(const std::string& line) {
    if (!options_.tell) return {};
    return options_.tell(hidden().now.iso(0).substr(11, 5) + "  " + line);
  }

  Result<void> act(const Wait& wait) {
    pass(hidden(), Duration::minutes(wait.minutes));
    return {};
  }

  Result<void> act(const PointAt& point) {
    target_ = point.target;
    pass(hidden(), kSlewTakes);
    return {};
  }

  Result<void> act(const PutIn& put) {
    pass(hidden(), kPartTakes);
    return refit(hidden(), with_part_back(rig_.train, hidden().rig.train, put.part));
  }

  Result<void> act(const Expose& expose) { return set_exposure(hidden(), target_, expose.peak); }

  Result<void> act(const Turned& turned) {
    HALFARC_CHECK(tell("       " + std::string(name_of(turned.control)) + ": " + in_words(turned)));
    if (turned.control == Control::focus) by_clockwise_ = turned.amount > 0.0;
    pass(hidden(), kTurnTakes);
    return apply(hidden(), turned);
  }

  Result<void> act(const Mend& mend) {
    HALFARC_TRY(const TargetLight light, light_of(hidden(), target_));
    for (const Turned& turned : to_mend(hidden(), mend.what, mend.share, light.colours)) HALFARC_CHECK(act(turned));
    return {};
  }

  Result<void> act(const Record& record) {
    HALFARC_CHECK(capture(record));
    if (!options_.turns || !(record.practice || options_.every_clip_asks)) return {};
    if (record.practice) practised_ = record.purpose;
    for (int answer = 1; answer <= options_.most_answers; ++answer) {
      HALFARC_CHECK(
          tell("       your hand: check this clip, then note what you turned (halfarc turned ...); 0 goes on"));
      HALFARC_TRY(const std::vector<Turned> turns, options_.turns(night_.clips.back()));
      if (turns.empty()) return {};
      for (const Turned& turned : turns) HALFARC_CHECK(act(turned));
      Record again = record;
      again.name += fmt::format("-{}", answer + 1);
      HALFARC_CHECK(capture(again));
    }
    return {};
  }

  Result<void> capture(Record record) {
    if (options_.size == NightSize::tiny) {
      record.width = static_cast<int>(record.width / kCoarse);
      record.height = static_cast<int>(record.height / kCoarse);
    }
    if (record.centred) HALFARC_CHECK(centre(record));
    const std::size_t number = night_.clips.size() + 1;
    ClipWish wish;
    wish.name = record.name;
    wish.seed = Rng(options_.seed).child("clip", number).bits64();
    wish.width = record.width;
    wish.height = record.height;
    wish.frames = frames_of(options_.size, record.purpose);
    wish.clock = record.clock;
    wish.clock_wrong_by = record.clock_wrong_by;
    wish.key_up = record.key_up;
    PlayedClip clip;
    clip.record = record;
    HALFARC_TRY(clip.shot, hidden_shot(hidden(), target_, wish));
    clip.knob = hidden().knob.knob;
    clip.by_clockwise = by_clockwise_;
    clip.defocus_waves = defocus_waves(hidden());
    clip.zenith = hidden().zenith;
    std::string clock = clip.shot.timing.start.iso(0).substr(11, 8);  // 21:04:07
    clock.erase(std::remove(clock.begin(), clock.end(), ':'), clock.end());
    const fs::path path = options_.folder / fmt::format("{:02}-{}-{}.fits", number, clock, record.name);
    HALFARC_TRY(SimulatedFiles files, capture_to_files(clip.shot, path, options_.pace, options_.threads, progress_));
    clip.recording = files.recording;
    clip.truth = files.truth_path;
    if (record.purpose == Purpose::run) clip.pictures = std::move(files.truth);
    HALFARC_CHECK(tell("       " + path.filename().string()));
    const Duration lasted = length_of(clip.shot.timing);
    if (record.key_up) HALFARC_CHECK(apply(hidden(), {Control::altitude, key_held(clip.shot.timing).s()}));
    pass(hidden(), lasted + kBetweenClips);
    night_.clips.push_back(std::move(clip));
    return {};
  }

  // With the keys, should the target have left the inner half of the frame.
  Result<void> centre(const Record& record) {
    const SkyOffset place = target_place(hidden());
    const PlateScale scale = plate_scale(hidden().rig, hidden().train);
    const double most = 0.1 * std::min(record.width, record.height);
    if (scale.pixels(abs(place.x)) <= most && scale.pixels(abs(place.y)) <= most) return {};
    return act(Mend{Mending::centre, 1.0});
  }

  const Rig& rig_;
  const PlayOptions& options_;
  Progress& progress_;
  NightTarget target_;
  std::optional<Purpose> practised_;
  bool by_clockwise_ = false;
  PlayedNight night_;
};

Rig sized(Rig rig, NightSize size) {
  if (size != NightSize::tiny) return rig;
  rig.camera.pixel = rig.camera.pixel * kCoarse;
  rig.camera.full_well_e *= kCoarse * kCoarse;
  rig.camera.most_e_per_adu *= kCoarse * kCoarse;
  return rig;
}

}  // namespace

std::size_t frames_of(NightSize size, Purpose purpose) {
  const bool run = purpose == Purpose::run;
  const bool key = purpose == Purpose::camera_angle;  // some seconds, against the air's slow wandering
  switch (size) {
    case NightSize::full:
      return run ? 6000 : 1000;
    case NightSize::brief:
      return run ? 800 : key ? 600 : 200;
    case NightSize::tiny:
      break;
  }
  // A ring is read from a second of frames.
  const bool ring = purpose == Purpose::cooling || purpose == Purpose::collimation;
  return ring ? 130 : run || key ? 100 : 40;
}

Result<HiddenRig> rig_for(const NightScript& script, Rig rig, const sky::Site& site, const PlayOptions& options) {
  rig = sized(std::move(rig), options.size);
  for (const std::string& part : script.at_first_without) {
    HALFARC_TRY(rig.train, without_part(std::move(rig.train), part));
  }
  return hidden_rig(rig, site, script.out, options.seed);
}

Result<PlayedNight> play_night(const NightScript& script, HiddenRig hidden, const Rig& rig, const PlayOptions& options,
                               Progress& progress) {
  std::error_code error;
  fs::create_directories(options.folder / "truth", error);
  if (error) {
    return failed("cannot make the folder: " + error.message(), options.folder.string(), "choose another with -o");
  }
  HALFARC_CHECK(write_file(options.folder / "truth" / "telescope.txt", truth_words(hidden)));
  Player player(std::move(hidden), rig, options, progress);
  for (const NightStep& step : script.steps) {
    if (progress.stop_requested()) return cancelled();
    HALFARC_CHECK(player.play(step));
  }
  return player.take();
}

std::string truth_words(const HiddenRig& hidden) {
  std::string text = "How the telescope of this rehearsal really stands. Nobody at a telescope could read this.\n\n";
  text += fmt::format("camera       the zenith lies {:.0f} deg clockwise from up on the image\n", hidden.zenith.deg());
  const double turn = waves_per_turn(hidden);
  text += fmt::format(
      "knob         a turn clockwise moves the mirror {:.0f} um {} the sky: {:.1f} waves; slack {:.3f} turn\n",
      std::abs(hidden.travel_per_turn.um()), hidden.travel_per_turn > Length() ? "towards" : "away from", turn,
      hidden.knob.slack_turns);
  constexpr std::array names = {"screw a", "screw b", "screw c"};
  for (std::size_t i = 0; i < 3; ++i) {
    const CollimationScrew& screw = hidden.collimation.screws[i];
    text += fmt::format("{}      a turn clockwise throws {:.1f} waves of coma towards {:.0f} deg\n", names[i],
                        screw.coma_waves_per_turn, screw.direction.deg());
  }
  const OpticsError first = coma(hidden);
  text += fmt::format("coma         {:.2f} waves towards {:.0f} deg, carried out\n",
                      std::hypot(first.coma_x_waves, first.coma_y_waves),
                      direction_of({first.coma_x_waves, first.coma_y_waves}).deg());
  text += fmt::format("corrector    stands {:.0f} deg by its scale, truly {:.0f}; upright would be {:.0f}\n",
                      hidden.corrector.roll.deg(),
                      wrap_positive(hidden.corrector.roll + hidden.corrector.bubble_error).deg(),
                      roll_against(hidden.zenith).deg());
  text += fmt::format("mount        drifts {:.3f}, {:.3f} arcsec/s; a second of a key is {:.0f} arcsec\n",
                      hidden.mount.drift_per_second.x.arcsec(), hidden.mount.drift_per_second.y.arcsec(),
                      hidden.mount.key_per_second.arcsec());
  text +=
      fmt::format("air          r0 {:.1f} cm at the zenith; {:.1f} degC outside, {:.1f} degC indoors\n",
                  hidden.r0_at_zenith.cm(), hidden.outside.air.at(Duration()).celsius(), hidden.rig.indoors.celsius());
  return text;
}

}  // namespace halfarc
