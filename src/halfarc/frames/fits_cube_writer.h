// FitsCubeWriter: a recording written as a FITS cube, frame by frame, of a length not known beforehand.
//
// Layout: NAXIS1 columns, NAXIS2 rows from the top (ROWORDER = 'TOP-DOWN'), NAXIS3 frames (CTYPE3 = 'FRAME'); for
// colour frames NAXIS3 = 3 planes and NAXIS4 frames. Samples: u8 as BITPIX 8, u16 as BITPIX 16 with BZERO 32768, f32 as
// BITPIX -32, all big-endian. Full scale is written as SATURATE, the mosaic as BAYERPAT, the times of the frames as the
// extension TIMES. The file exists under its name only after finish(), unless it is written as a capture program would:
// then it stands there from the start and grows, its header telling the frames that were asked for until finish().
#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "halfarc/base/atomic_file.h"
#include "halfarc/base/duration.h"
#include "halfarc/base/growing_file.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"
#include "halfarc/frames/fits_card.h"
#include "halfarc/frames/recording.h"

namespace halfarc {

struct CubeForm {
  int width = 0;
  int height = 0;
  Mosaic mosaic = Mosaic::mono;
  Sample sample = Sample::u16;
  int bits = 16;
  int zero_bits = 0;
  std::optional<Utc> start;          // of the first exposure: DATE-OBS
  std::optional<Duration> exposure;  // of one frame: EXPTIME
};

class FitsCubeWriter {
 public:
  // `cards` are added to the header (XPIXSZ, FOCALLEN, OBJECT, ...). Errors: sizes no recording has; cannot write.
  static Result<FitsCubeWriter> create(const std::filesystem::path& path, const CubeForm& form,
                                       std::span<const FitsCard> cards = {});

  // The same for a file that grows under its own name; given up before finish() it is removed.
  static Result<FitsCubeWriter> create_growing(const std::filesystem::path& path, const CubeForm& form,
                                               std::size_t frames_asked, std::span<const FitsCard> cards = {});

  // Whole frames in the layout of Recording::read. `times` are mid-exposure, one a frame, or none at all for any frame.
  // Errors: disk full; not whole frames; times for some frames and not for others.
  Result<void> append(std::span<const std::byte> frames, std::span<const Utc> times = {});

  std::size_t frames() const { return frames_; }

  // Completes the file and gives it its name, if it has not got that yet. Errors: no frames; disk full.
  Result<void> finish();

 private:
  using File = std::variant<AtomicFile, GrowingFile>;
  FitsCubeWriter(File file, std::filesystem::path path, CubeForm form, std::string header)
      : file_(std::move(file)), path_(std::move(path)), form_(form), header_(std::move(header)) {}
  static Result<std::string> header_of(const std::filesystem::path& path, const CubeForm& form, std::size_t frames,
                                       std::span<const FitsCard> cards);
  template <class Bytes>
  Result<void> write(const Bytes& bytes);

  File file_;
  std::filesystem::path path_;
  CubeForm form_;
  std::string header_;
  std::vector<std::byte> coded_;  // one block of frames as they go to the file
  std::vector<Utc> times_;
  std::size_t frames_ = 0;
};

}  // namespace halfarc
