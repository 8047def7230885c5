// The simulated clips that the ladders share: our scenario's telescope and camera, and air of a stated seeing.
#pragma once

#include <filesystem>

#include "halfarc/app/check_clip.h"
#include "halfarc/app/compare_truth.h"
#include "halfarc/app/make_image.h"
#include "halfarc/app/simulate_recording.h"
#include "halfarc/simulate/shot.h"

namespace halfarc::accuracy {

// A mosaic camera's clip of a body under air whose long exposures are `seeing` wide at 500 nm along the line of sight.
// Wind, and where the body lies between the pixels, hang on the seed as well.
ShotSpec clip_of(BodyKind body, Angle seeing, Duration length, std::uint64_t seed);

// Sets the size of the frame that such a body needs, with room to move.
void fit_frame(ShotSpec& shot);

// Simulates and checks it, as the owner of the scenario's telescope would.
Result<ClipCheck> simulate_and_check(const ShotSpec& shot, const std::filesystem::path& folder);

// The scenario's telescope as readings know it.
ClipOptics scenario_optics(const ShotSpec& shot);

// A run of 12 s, and the image that `make` makes of it with nothing told but the telescope.
struct ImageConditions {
  BodyKind body = BodyKind::ruddy_disc;
  double seeing = 2.0;  // arcsec
  std::size_t frames = 1500;
};

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
