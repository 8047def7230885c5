#include "halfarc/frames/picture_sequence.h"

#include <fmt/format.h>

#include "halfarc/frames/limits.h"
#include "halfarc/frames/survey.h"

namespace halfarc {
namespace {

class PictureSequence final : public Recording {
 public:
  PictureSequence(RecordingInfo info, std::vector<std::filesystem::path> files, PictureHeader header)
      : Recording(std::move(info)), files_(std::move(files)), header_(std::move(header)) {}

  Result<void> read(std::size_t first, std::size_t count, std::span<std::byte> into) const override {
    HALFARC_CHECK(check_range(first, count, into));
    const std::size_t frame_bytes = info().bytes_per_frame();
    for (std::size_t i = 0; i < count; ++i) {
      HALFARC_CHECK(read_picture(files_[first + i], header_, into.subspan(i * frame_bytes, frame_bytes)));
    }
    return {};
  }

 private:
  std::vector<std::filesystem::path> files_;
  PictureHeader header_;
};

Result<void> check_same(const PictureHeader& first, const PictureHeader& other, const std::filesystem::path& path) {
  if (first.width != other.width || first.height != other.height) {
    return bad_input(fmt::format("is {} x {} pixels but the first frame is {} x {}", other.width, other.height,
                                 first.width, first.height),
                     path.string(), "keep frames of one size in a folder");
  }
  if (first.mosaic != other.mosaic || first.sample != other.sample) {
    return bad_input("has other colours or bits than the first frame of its sequence", path.string(),
                     "keep frames of one kind in a folder");
  }
  return {};
}

// Of 16-bit samples the bits that carry light, by the header and by some of the frames.
Result<void> settle_bits(const std::vector<std::filesystem::path>& files, const PictureHeader& header,
                         RecordingInfo& info) {
  info.bits = header.sample == Sample::u8 ? 8 : 16;
  if (header.sample == Sample::u8) return {};
  std::vector<std::uint16_t> frame(info.samples_per_frame());
  SampleRange range;
  for (const std::size_t number : frames_to_survey(files.size())) {
    HALFARC_CHECK(read_picture(files[number], header, std::as_writable_bytes(std::span(frame))));
    range.add(frame);
  }
  const SignificantBits significant = significant_bits(header.said_bits > 0 ? header.said_bits : 16, range);
  info.bits = significant.bits;
  info.zero_bits = significant.zero_bits;
  if (!significant.note.empty()) info.notes.push_back(significant.note);
  return {};
}

}  // namespace

Result<std::unique_ptr<Recording>> open_picture_sequence(std::vector<std::filesystem::path> files, PictureKind kind,
                                                         std::vector<std::string> notes) {
  HALFARC_CHECK(check_frame_count(files.size(), files.empty() ? std::filesystem::path() : files.front()));
  HALFARC_TRY(PictureHeader header, read_picture_header(files.front(), kind));
  for (const auto& file : files) {
    HALFARC_TRY(const PictureHeader other, read_picture_header(file, kind));
    HALFARC_CHECK(check_same(header, other, file));
  }
  RecordingInfo info;
  info.path = files.front();
  info.container = kind == PictureKind::png ? "PNG sequence" : "TIFF sequence";
  info.width = header.width;
  info.height = header.height;
  info.mosaic = header.mosaic;
  info.sample = header.sample;
  info.frames = files.size();
  info.notes = header.notes;
  info.notes.insert(info.notes.end(), notes.begin(), notes.end());
  HALFARC_CHECK(settle_bits(files, header, info));
  info.notes.push_back("the recording carries no frame times");
  return std::unique_ptr<Recording>(
      std::make_unique<PictureSequence>(std::move(info), std::move(files), std::move(header)));
}

}  // namespace halfarc
