// The simulated clips that the ladders share: our scenario's telescope and camera, and air of a stated seeing.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "halfarc/app/body_of_date.h"
#include "halfarc/app/check_clip.h"
#include "halfarc/app/compare_truth.h"
#include "halfarc/app/make_image.h"
#include "halfarc/app/simulate_recording.h"
#include "halfarc/simulate/shot.h"

namespace halfarc::accuracy {

// A mosaic camera's clip of a body under air whose long exposures are `seeing` wide at 500 nm along the line of sight.
// Wind, and where the body lies between the pixels, hang on the seed as well.
ShotSpec clip_of(BodyKind body, Angle seeing, Duration length, std::uint64_t seed);

// How high the body stands, and how much light falls on the sensor.
struct Stand {
  double altitude = 90.0;  // degrees; overhead there is no dispersion
  double light = 1.0;      // of a normal exposure
};

// Stands it so high: seeing is what it was overhead looked at through more air, layers are farther, the colours are
// lifted, drawn out and dimmed as the scenario's camera sees it, and nobody has set the prisms. Which way is up hangs
// on the seed.
void stand(ShotSpec& shot, const Stand& s);

// How much wider seeing is there than overhead.
double seeing_growth(const Stand& s);

// ", 30° up, 0.2 of the light"; nothing for what is usual.
std::string words(const Stand& s);

// Sets the size of the frame that such a body needs, with room to move.
void fit_frame(ShotSpec& shot);

// The planet as it stood over the scenario's place on its night, the zenith anywhere on the image, in a clip that is
// else as clip_of makes it.
ShotSpec clip_of_target(sky::Body target, Angle seeing, Duration length, std::uint64_t seed);

// Simulates and checks it, as the owner of the scenario's telescope would; with a target, as if its name were told.
Result<ClipCheck> simulate_and_check(const ShotSpec& shot, const std::filesystem::path& folder,
                                     std::optional<sky::Body> target = std::nullopt);

// The scenario's telescope as readings know it.
ClipOptics scenario_optics(const ShotSpec& shot);

// A run of 12 s, and the image that `make` makes of it with nothing told but the telescope.
struct ImageConditions {
  BodyKind body = BodyKind::ruddy_disc;
  double seeing = 2.0;  // arcsec
  std::size_t frames = 1500;
  Stand stand{};
  double patch = 0.0;  // arcsec over which the air is the same; 0: all over
};

// "1500 frames, 2.0" seeing, 30° up"
std::string words(const ImageConditions& c);

struct SimulatedImage {
  ShotSpec shot;
  SimulatedFiles files;
  FinishedImage image;

  // What a perfect telescope would show of the part of the frame that the image has.
  View<const float> truth(std::size_t plane) const;
  PlaneComparison compare(std::size_t plane) const;
};

ShotSpec run_of(const ImageConditions& conditions, std::uint64_t seed);

Result<SimulatedImage> simulate_and_make(const ImageConditions& conditions, std::uint64_t seed,
                                         const std::filesystem::path& folder);

}  // namespace halfarc::accuracy
