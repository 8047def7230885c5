#include "halfarc/frames/fits_recording.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstring>
#include <set>
#include <string_view>

#include "halfarc/frames/fits_frames.h"
#include "halfarc/frames/fits_header.h"
#include "halfarc/frames/frame_times.h"
#include "halfarc/frames/limits.h"
#include "halfarc/frames/survey.h"

namespace halfarc {
namespace {

using ReadFrame = std::function<Result<void>(std::size_t frame, const FitsLayout& layout, std::span<std::byte> into)>;

// BITPIX 16 without BZERO holds signed words by the standard. Cameras that write so mostly mean counts, which are never
// negative; where negative samples are seen the frames are handed out as floats.
Result<void> settle_sign(FitsLayout& layout, std::size_t frames, const ReadFrame& read, RecordingInfo& info) {
  if (layout.coding != FitsLayout::Coding::signed_words) return {};
  FitsLayout scaled = layout;
  scaled.coding = FitsLayout::Coding::scaled_words;
  std::vector<float> samples(scaled.samples_per_frame());
  for (const std::size_t number : frames_to_survey(frames)) {
    HALFARC_CHECK(read(number, scaled, std::as_writable_bytes(std::span(samples))));
    if (std::any_of(samples.begin(), samples.end(), [](float v) { return v < 0.0F; })) {
      layout = scaled;
      info.notes.push_back("signed samples with negative values: handed out as floats");
      return {};
    }
  }
  return {};
}

// Everything about the samples that both kinds of FITS recording share.
Result<RecordingInfo> settle(FitsArray& array, const FitsHeader& header, std::size_t frames, const ReadFrame& read,
                             const std::filesystem::path& path) {
  RecordingInfo info;
  info.path = path;
  info.width = array.layout.width;
  info.height = array.layout.height;
  info.mosaic = array.mosaic;
  info.frames = frames;
  info.notes = header.notes;
  HALFARC_CHECK(settle_sign(array.layout, frames, read, info));
  info.sample = array.layout.sample();
  HALFARC_CHECK(settle_bits(
      info, header, [&](std::size_t frame, std::span<std::byte> into) { return read(frame, array.layout, into); }));
  return info;
}

class FitsCube final : public Recording {
 public:
  FitsCube(RecordingInfo info, InputFile file, FitsLayout layout, std::uint64_t offset)
      : Recording(std::move(info)), file_(std::move(file)), layout_(layout), offset_(offset) {}

  Result<void> read(std::size_t first, std::size_t count, std::span<std::byte> into) const override {
    HALFARC_CHECK(check_range(first, count, into));
    return read_fits_frames(file_, offset_ + std::uint64_t{first} * layout_.stored_bytes_per_frame(), layout_, count,
                            into);
  }

 private:
  InputFile file_;
  FitsLayout layout_;
  std::uint64_t offset_;
};

struct SequenceFile {
  std::filesystem::path path;
  std::uint64_t offset;
};

class FitsSequence final : public Recording {
 public:
  FitsSequence(RecordingInfo info, std::vector<SequenceFile> files, FitsLayout layout)
      : Recording(std::move(info)), files_(std::move(files)), layout_(layout) {}

  Result<void> read(std::size_t first, std::size_t count, std::span<std::byte> into) const override {
    HALFARC_CHECK(check_range(first, count, into));
    for (std::size_t i = 0; i < count; ++i) {
      const SequenceFile& source = files_[first + i];
      HALFARC_TRY(const InputFile file, InputFile::open(source.path));
      HALFARC_CHECK(read_fits_frames(file, source.offset, layout_, 1,
                                     into.subspan(i * info().bytes_per_frame(), info().bytes_per_frame())));
    }
    return {};
  }

 private:
  std::vector<SequenceFile> files_;
  FitsLayout layout_;
};

void cube_times(const FitsHeader& header, RecordingInfo& info) {
  if (header.frame_times.size() >= info.frames) {
    info.times.assign(header.frame_times.begin(),
                      header.frame_times.begin() + static_cast<std::ptrdiff_t>(info.frames));
    examine_times(info);
  } else if (info.frames == 1 && header.exposure_middle) {
    info.times = {*header.exposure_middle};
  } else {
    info.notes.push_back("the recording carries no frame times");
  }
  info.start = header.exposure_start;
  info.exposure = header.exposure;
  info.object = header.object;
  if (!info.start && !info.times.empty()) info.start = info.times.front();
}

// What a frame of a sequence must have in common with the first one.
Result<void> check_same(const FitsArray& first, const FitsArray& other, const std::filesystem::path& path) {
  const bool same_size = first.layout.width == other.layout.width && first.layout.height == other.layout.height;
  if (!same_size) {
    return bad_input(fmt::format("is {} x {} pixels but the first frame is {} x {}", other.layout.width,
                                 other.layout.height, first.layout.width, first.layout.height),
                     path.string(), "keep frames of one size in a folder");
  }
  if (!(first.layout == other.layout) || first.mosaic != other.mosaic || other.frames != 1) {
    return bad_input("is coded otherwise than the first frame of its sequence", path.string(),
                     "keep frames of one kind in a folder");
  }
  return {};
}

}  // namespace

bool looks_like_fits(std::span<const std::byte> head) {
  constexpr std::string_view kFirst = "SIMPLE  =";
  return head.size() >= kFirst.size() && std::memcmp(head.data(), kFirst.data(), kFirst.size()) == 0;
}

Result<std::size_t> fits_frame_count(const std::filesystem::path& path) {
  HALFARC_TRY(FitsHeader header, read_fits_header(path));
  HALFARC_TRY(const FitsArray array, fits_array(header, path));
  return static_cast<std::size_t>(array.frames);
}

Result<std::unique_ptr<Recording>> open_fits_cube(InputFile file) {
  const std::filesystem::path path = file.path();
  HALFARC_TRY(FitsHeader header, read_fits_header(path));
  HALFARC_TRY(FitsArray array, fits_array(header, path));
  const std::uint64_t frame_bytes = array.layout.stored_bytes_per_frame();
  const std::uint64_t held = file.size() > header.data_offset ? (file.size() - header.data_offset) / frame_bytes : 0;
  const std::uint64_t frames = std::min(held, array.frames);
  if (held < array.frames) {
    header.notes.push_back(
        fmt::format("the header says {} frames but the file holds {}; whole ones are used", array.frames, held));
  }
  HALFARC_CHECK(check_frame_count(frames, path));
  const ReadFrame read = [&](std::size_t frame, const FitsLayout& layout, std::span<std::byte> into) {
    return read_fits_frames(file, header.data_offset + frame * frame_bytes, layout, 1, into);
  };
  HALFARC_TRY(RecordingInfo info, settle(array, header, static_cast<std::size_t>(frames), read, path));
  info.container = frames == 1 ? "FITS image" : "FITS cube";
  cube_times(header, info);
  return std::unique_ptr<Recording>(
      std::make_unique<FitsCube>(std::move(info), std::move(file), array.layout, header.data_offset));
}

Result<std::unique_ptr<Recording>> open_fits_sequence(std::vector<std::filesystem::path> paths,
                                                      std::vector<std::string> notes) {
  HALFARC_CHECK(check_frame_count(paths.size(), paths.empty() ? std::filesystem::path() : paths.front()));
  HALFARC_TRY(FitsHeader first_header, read_fits_header(paths.front()));
  HALFARC_TRY(FitsArray array, fits_array(first_header, paths.front()));
  std::vector<SequenceFile> files;
  std::vector<Utc> times;
  for (const auto& path : paths) {
    HALFARC_TRY(FitsHeader header, read_fits_header(path));
    HALFARC_TRY(const FitsArray other, fits_array(header, path));
    HALFARC_CHECK(check_same(array, other, path));
    HALFARC_TRY(const InputFile file, InputFile::open(path));
    if (file.size() < header.data_offset + array.layout.stored_bytes_per_frame()) {
      return bad_input("is cut off inside its frame", path.string(), "remove it from the folder");
    }
    files.push_back({path, header.data_offset});
    if (header.exposure_middle) times.push_back(*header.exposure_middle);
    if (!header.exposure_middle && header.exposure_start) times.push_back(*header.exposure_start);
  }
  const ReadFrame read = [&](std::size_t frame, const FitsLayout& layout, std::span<std::byte> into) -> Result<void> {
    HALFARC_TRY(const InputFile file, InputFile::open(files[frame].path));
    return read_fits_frames(file, files[frame].offset, layout, 1, into);
  };
  HALFARC_TRY(RecordingInfo info, settle(array, first_header, files.size(), read, paths.front()));
  info.container = "FITS sequence";
  info.notes.insert(info.notes.end(), notes.begin(), notes.end());
  info.start = first_header.exposure_start;
  info.exposure = first_header.exposure;
  info.object = first_header.object;
  if (times.size() == files.size()) {
    info.times = std::move(times);
    examine_times(info);
  } else {
    info.notes.push_back(fmt::format("{} of {} files carry no date; frame times are not used",
                                     files.size() - times.size(), files.size()));
  }
  return std::unique_ptr<Recording>(std::make_unique<FitsSequence>(std::move(info), std::move(files), array.layout));
}

}  // namespace halfarc
