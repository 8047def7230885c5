#include "halfarc/frames/fits_cube_writer.h"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "halfarc/frames/byte_order.h"
#include "halfarc/frames/fits_blocks.h"
#include "halfarc/frames/limits.h"

namespace halfarc {
namespace {

int bitpix_of(Sample sample) { return sample == Sample::u8 ? 8 : sample == Sample::u16 ? 16 : -32; }

std::size_t frame_samples(const CubeForm& form) {
  return static_cast<std::size_t>(form.width) * static_cast<std::size_t>(form.height) *
         static_cast<std::size_t>(samples_per_pixel(form.mosaic));
}

std::vector<std::int64_t> axes_of(const CubeForm& form, std::size_t frames) {
  std::vector<std::int64_t> axes = {form.width, form.height};
  if (form.mosaic == Mosaic::rgb) axes.push_back(3);
  axes.push_back(static_cast<std::int64_t>(frames));
  return axes;
}

std::vector<FitsCard> standard_cards(const CubeForm& form) {
  const double full_scale = static_cast<double>((1ULL << form.bits) - (1ULL << form.zero_bits));
  std::vector<FitsCard> cards;
  if (form.mosaic == Mosaic::rgb) {
    cards.push_back({"CTYPE3", "RGB", "planes red, green, blue"});
    cards.push_back({"CTYPE4", "FRAME", "one frame after another"});
  } else {
    cards.push_back({"CTYPE3", "FRAME", "one frame after another"});
  }
  cards.push_back({"ROWORDER", "TOP-DOWN", "first row stored is the top row"});
  if (is_bayer(form.mosaic)) {
    cards.push_back({"BAYERPAT", std::string(name(form.mosaic)), "colours from the first sample stored"});
    cards.push_back({"XBAYROFF", std::int64_t{0}, ""});
    cards.push_back({"YBAYROFF", std::int64_t{0}, ""});
  }
  cards.push_back({"SATURATE", full_scale, "largest value a sample can have"});
  cards.push_back({"TIMESYS", "UTC", "time scale"});
  if (form.start) {
    std::string date = form.start->iso(6);
    date.pop_back();  // the standard has no zone letter
    cards.push_back({"DATE-OBS", date, "start of the first exposure"});
  }
  if (form.exposure) cards.push_back({"EXPTIME", form.exposure->s(), "[s] exposure of one frame"});
  return cards;
}

template <class T>
T as_stored(T value) {
  if constexpr (std::is_same_v<T, std::uint16_t>) value = static_cast<T>(value ^ 0x8000U);  // BZERO 32768
  return is_native(ByteOrder::big) ? value : swap_bytes(value);
}

// From interleaved native samples to the planes and byte order of the file. Floats pass as the integers of their bits.
template <class T>
void code(std::span<const std::byte> frames, std::span<std::byte> coded, const CubeForm& form) {
  const auto planes = static_cast<std::size_t>(samples_per_pixel(form.mosaic));
  const std::size_t samples = frame_samples(form);
  const std::size_t pixels = samples / planes;
  const auto* from = reinterpret_cast<const T*>(frames.data());
  auto* to = reinterpret_cast<T*>(coded.data());
  for (std::size_t frame = 0; frame < frames.size() / sizeof(T) / samples; ++frame) {
    for (std::size_t p = 0; p < planes; ++p) {
      for (std::size_t i = 0; i < pixels; ++i) to[p * pixels + i] = as_stored(from[i * planes + p]);
    }
    from += samples;
    to += samples;
  }
}

Result<void> overwrite_start(const std::filesystem::path& temporary, std::string_view bytes,
                             const std::filesystem::path& path) {
  const int descriptor = ::open(temporary.c_str(), O_WRONLY | O_CLOEXEC);
  const bool done = descriptor >= 0 && ::pwrite(descriptor, bytes.data(), bytes.size(), 0) == std::ssize(bytes);
  const int error_number = errno;
  if (descriptor >= 0) ::close(descriptor);
  if (done) return {};
  return failed(std::string("cannot write: ") + std::strerror(error_number), path.string(), "check the disk");
}

}  // namespace

Result<std::string> FitsCubeWriter::header_of(const std::filesystem::path& path, const CubeForm& form,
                                              std::size_t frames, std::span<const FitsCard> cards) {
  HALFARC_CHECK(check_frame_size(form.width, form.height, form.mosaic, form.sample, path));
  std::vector<FitsCard> all = standard_cards(form);
  all.insert(all.end(), cards.begin(), cards.end());
  return fits_image_header({{}, bitpix_of(form.sample), form.sample == Sample::u16, axes_of(form, frames)}, all);
}

Result<FitsCubeWriter> FitsCubeWriter::create(const std::filesystem::path& path, const CubeForm& form,
                                              std::span<const FitsCard> cards) {
  HALFARC_TRY(std::string header, header_of(path, form, 0, cards));
  HALFARC_TRY(AtomicFile file, AtomicFile::create(path));
  HALFARC_CHECK(file.write(header));
  return FitsCubeWriter(std::move(file), path, form, std::move(header));
}

Result<FitsCubeWriter> FitsCubeWriter::create_growing(const std::filesystem::path& path, const CubeForm& form,
                                                      std::size_t frames_asked, std::span<const FitsCard> cards) {
  HALFARC_TRY(std::string header, header_of(path, form, frames_asked, cards));
  HALFARC_TRY(GrowingFile file, GrowingFile::create(path));
  HALFARC_CHECK(file.write(header));
  return FitsCubeWriter(std::move(file), path, form, std::move(header));
}

template <class Bytes>
Result<void> FitsCubeWriter::write(const Bytes& bytes) {
  return std::visit([&](auto& file) { return file.write(bytes); }, file_);
}

Result<void> FitsCubeWriter::append(std::span<const std::byte> frames, std::span<const Utc> times) {
  const std::size_t frame_bytes = frame_samples(form_) * bytes_per_sample(form_.sample);
  const std::size_t count = frames.size() / frame_bytes;
  if (frames.size() % frame_bytes != 0) {
    return failed("was handed a part of a frame", path_.string(), "this is a mistake in halfarc");
  }
  const bool had_times = !times_.empty() || frames_ == 0;
  if ((!times.empty() && times.size() != count) || (times.empty() && !times_.empty()) ||
      (!times.empty() && !had_times)) {
    return failed("was handed times for some frames only", path_.string(), "this is a mistake in halfarc");
  }
  coded_.resize(frames.size());
  if (form_.sample == Sample::u8) code<std::uint8_t>(frames, coded_, form_);
  if (form_.sample == Sample::u16) code<std::uint16_t>(frames, coded_, form_);
  if (form_.sample == Sample::f32) code<std::uint32_t>(frames, coded_, form_);
  HALFARC_CHECK(write(std::span<const std::byte>(coded_)));
  times_.insert(times_.end(), times.begin(), times.end());
  frames_ += count;
  return {};
}

Result<void> FitsCubeWriter::finish() {
  if (frames_ == 0) return failed("has no frames to write", path_.string(), "record or simulate at least one");
  const std::uint64_t bytes = std::uint64_t{frames_} * frame_samples(form_) * bytes_per_sample(form_.sample);
  HALFARC_CHECK(write(std::string_view(fits_padding(bytes))));
  if (!times_.empty()) {
    HALFARC_TRY(const std::string table, fits_times_table(times_));
    HALFARC_CHECK(write(std::string_view(table)));
  }
  set_last_axis(header_, axes_of(form_, frames_).size(), static_cast<std::int64_t>(frames_));
  if (auto* growing = std::get_if<GrowingFile>(&file_)) {
    HALFARC_CHECK(overwrite_start(path_, header_, path_));
    return growing->close();
  }
  auto& hidden = std::get<AtomicFile>(file_);
  HALFARC_CHECK(overwrite_start(hidden.temporary_path(), header_, path_));
  return hidden.commit();
}

}  // namespace halfarc
