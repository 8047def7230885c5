// Recording: one run or clip as the owner's capture program left it on disk.
//
// A Recording knows its layout and times at once and hands out raw samples on demand: it is never loaded whole.
// read() is thread safe and gives native samples, exactly as they were recorded, in the layout of `info()`:
// frames one after another, rows from the top, samples_per_pixel() samples a pixel, no padding. Anything odd that was
// survived (a truncated tail, a wrong count, missing times) is a plain sentence in `info().notes`.
#pragma once

#include <cstddef>
#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"
#include "halfarc/frames/mosaic.h"

namespace halfarc {

enum class Sample { u8, u16, f32 };

constexpr std::size_t bytes_per_sample(Sample s) { return s == Sample::u8 ? 1 : s == Sample::u16 ? 2 : 4; }

struct RecordingInfo {
  std::filesystem::path path;
  std::string container;  // "raw frames (.ser)", "FITS cube", "PNG sequence", ...
  int width = 0;
  int height = 0;
  Mosaic mosaic = Mosaic::mono;
  Sample sample = Sample::u8;
  int bits = 8;                      // significant bits (for f32: of the scale the samples use; 1 if they end at 1.0)
  int zero_bits = 0;                 // low bits that no sample uses: 4 for 12-bit samples stored in the top of 16 bits
  std::size_t frames = 0;            // frames that can be read
  std::vector<Utc> times;            // one a frame, or empty; within one exposure (containers do not say which moment)
  std::optional<Duration> exposure;  // of one frame, where the file says so
  std::optional<Utc> start;          // from the header or the first frame's time
  std::string object;                // what it shows, where the file says so
  std::vector<std::string> notes;    // what was odd, in plain words

  std::size_t samples_per_frame() const {
    return static_cast<std::size_t>(width) * static_cast<std::size_t>(height) *
           static_cast<std::size_t>(samples_per_pixel(mosaic));
  }
  std::size_t bytes_per_frame() const { return samples_per_frame() * bytes_per_sample(sample); }
  // The largest value a sample can have, which is where light is clipped: 2^bits - 2^zero_bits.
  double full_scale() const { return static_cast<double>((1ULL << bits) - (1ULL << zero_bits)); }
};

class Recording {
 public:
  virtual ~Recording() = default;

  const RecordingInfo& info() const { return info_; }

  // Copies frames [first, first + count) into `into`, which holds exactly count * bytes_per_frame() bytes and is
  // aligned for the sample type. Thread safe. Errors: range outside the recording; file changed or unreadable.
  virtual Result<void> read(std::size_t first, std::size_t count, std::span<std::byte> into) const = 0;

 protected:
  explicit Recording(RecordingInfo info) : info_(std::move(info)) {}

  // Errors: frames the recording does not hold; a buffer of another size than they need.
  Result<void> check_range(std::size_t first, std::size_t count, std::span<std::byte> into) const;

  RecordingInfo info_;
};

// Opens a recording of any kind we read, recognised by its content first and its name second. `path` is a file, a
// folder of numbered pictures or FITS files, or one file of such a sequence.
// Errors (bad input, one line): not there, empty, not a recording, absurd sizes, no frames.
Result<std::unique_ptr<Recording>> open_recording(const std::filesystem::path& path);

}  // namespace halfarc
