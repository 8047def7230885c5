// make: from one or several runs to a finished image, with its proof.
//
// Each run is indexed, its frames are graded and aligned in two independent halves (restore/stack.h), the runs are
// combined, and the result is restored as far as the halves agree (restore/restore_image.h). Written are the FITS
// with everything that proves the image, and a 16-bit TIFF and PNG beside it.
#pragma once

#include <array>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "halfarc/app/look_for_flashes.h"
#include "halfarc/app/rig.h"
#include "halfarc/app/stack_runs.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/parallel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"
#include "halfarc/frames/recording.h"
#include "halfarc/restore/restore_image.h"

namespace halfarc {

struct MakeOptions {
  std::vector<std::filesystem::path> runs;
  std::filesystem::path output;                         // IMAGE.fits; the TIFF and PNG take its name
  Aperture aperture;                                    // the telescope, and arcseconds a pixel
  ScaleSource scale_source = ScaleSource::default_rig;  // and then a warning says so
  double kept_fraction = 0.0;                           // 0: as measured
  double strength = 1.0;                                // 1 as measured; softer below, harder above
  std::optional<DerotateRequest> derotate;              // nothing: runs are laid on each other as they are
  bool flashes = false;                                 // look for flashes in every frame, too
  Threads threads;
};

struct MakeSeconds {
  double read_and_grade = 0.0, align = 0.0, select = 0.0, stack = 0.0, derotate = 0.0, restore = 0.0, write = 0.0,
         total = 0.0;
};

// What was made and how, without the pictures; text and JSON are in make_document.h.
//
// Fewer frames than `kEnoughFrames` (common practice) are too few: the air's blur and its speckles have not been
// averaged, and halves of a few dozen frames may agree by chance.
constexpr std::size_t kEnoughFrames = 100;

struct MadeImage {
  std::vector<RecordingInfo> runs;
  std::size_t frames_read = 0;
  std::size_t frames_used = 0;
  std::optional<Utc> reference;  // middle of all frames used, or the instant they were turned to
  std::optional<Duration> span;  // from the first to the last frame used
  Aperture aperture;
  ScaleSource scale_source = ScaleSource::default_rig;
  double strength = 1.0;
  std::optional<sky::Body> target;
  std::optional<StackedRuns::Derotated> derotated;
  KeptFraction selection;
  LocalShifts local;
  bool mono = false;
  std::array<RingCorrelation, 3> agreement;
  std::array<Measured<Angle>, 3> resolved;  // period, one a colour plane
  std::array<ColourOffset, 3> colour_offset{};
  std::array<RestoreMethod, 3> method{};
  std::array<int, 3> iterations{};
  std::array<double, 3> noise{};        // of the restored planes, as a share of the scene's bright level
  std::array<double, 3> stack_noise{};  // of the unrestored mean, likewise
  AirBlur blur;
  std::vector<RunFlashes> flashes;  // one a run when they were looked for
  double trusted_share = 0.0;       // of the scene whose trust is at least one half
  std::vector<std::filesystem::path> outputs;
  MakeSeconds seconds;
  std::vector<std::string> warnings;

  bool enough_frames() const { return frames_used >= kEnoughFrames; }
};

struct FinishedImage {
  MadeImage made;
  RestoredImage picture;
  Window window;  // of the recording's frames: where the picture lies
};

// Errors: no usable frames, runs of different size or colour, unreadable files, cancelled, cannot write.
Result<FinishedImage> make_image(const MakeOptions& options, Progress& progress);

}  // namespace halfarc
