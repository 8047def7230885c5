#include <algorithm>
#include <cctype>

#include "halfarc/frames/fits_recording.h"
#include "halfarc/frames/input_file.h"
#include "halfarc/frames/numbered_files.h"
#include "halfarc/frames/picture_file.h"
#include "halfarc/frames/picture_sequence.h"
#include "halfarc/frames/raw_container.h"
#include "halfarc/frames/recording.h"
#include "halfarc/frames/video.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kHeadBytes = 64;

std::string lower_extension(const fs::path& path) {
  std::string extension = path.extension().string();
  for (char& c : extension) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return extension;
}

Error not_a_recording(const fs::path& path) {
  return bad_input("is not a recording halfarc reads", path.string(),
                   "name a .ser file, a FITS cube, a video, or a folder of numbered FITS, PNG or TIFF files");
}

Result<std::unique_ptr<Recording>> open_sequence(NumberedFiles sequence) {
  const fs::path first = sequence.files.front();
  HALFARC_TRY(const InputFile file, InputFile::open(first));
  HALFARC_TRY(const auto head, file.head(kHeadBytes));
  if (looks_like_fits(head)) return open_fits_sequence(std::move(sequence.files), std::move(sequence.notes));
  if (looks_like_png(head)) {
    return open_picture_sequence(std::move(sequence.files), PictureKind::png, std::move(sequence.notes));
  }
  if (looks_like_tiff(head)) {
    return open_picture_sequence(std::move(sequence.files), PictureKind::tiff, std::move(sequence.notes));
  }
  return not_a_recording(first);
}

Result<std::unique_ptr<Recording>> open_fits(InputFile file) {
  const fs::path path = file.path();
  HALFARC_TRY(const std::size_t frames, fits_frame_count(path));
  if (frames > 1) return open_fits_cube(std::move(file));
  HALFARC_TRY(NumberedFiles sequence, numbered_siblings(path));
  if (sequence.files.size() == 1) return open_fits_cube(std::move(file));
  return open_sequence(std::move(sequence));
}

}  // namespace

Result<std::unique_ptr<Recording>> open_recording(const fs::path& path) {
  std::error_code ignored;
  if (fs::is_directory(path, ignored)) {
    HALFARC_TRY(NumberedFiles sequence, numbered_in_folder(path));
    return open_sequence(std::move(sequence));
  }
  HALFARC_TRY(InputFile file, InputFile::open(path));
  HALFARC_TRY(const auto head, file.head(kHeadBytes));
  if (looks_like_fits(head)) return open_fits(std::move(file));
  if (looks_like_png(head) || looks_like_tiff(head)) {
    HALFARC_TRY(NumberedFiles sequence, numbered_siblings(path));
    return open_sequence(std::move(sequence));
  }
  if (looks_like_video(head)) return open_video(file);
  if (lower_extension(path) == ".ser" || looks_like_raw_container(file)) return open_raw_container(std::move(file));
  return not_a_recording(path);
}

}  // namespace halfarc
