// What every reader's fuzz target does: the input becomes a file in memory, is opened, and some of it is read. Nothing
// is held back from the reader here; its own limits must hold.
#pragma once

#include <sys/mman.h>
#include <unistd.h>

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "halfarc/frames/input_file.h"
#include "halfarc/frames/recording.h"

namespace halfarc {

// A file that lives in memory, with a path through which any library can open it.
class MemoryFile {
 public:
  MemoryFile(const std::uint8_t* bytes, std::size_t size) : descriptor_(::memfd_create("fuzz", MFD_CLOEXEC)) {
    if (descriptor_ < 0) std::abort();
    while (size > 0) {
      const ssize_t written = ::write(descriptor_, bytes, size);
      if (written <= 0) std::abort();
      bytes += written;
      size -= static_cast<std::size_t>(written);
    }
  }
  ~MemoryFile() { ::close(descriptor_); }
  MemoryFile(const MemoryFile&) = delete;
  MemoryFile& operator=(const MemoryFile&) = delete;

  std::filesystem::path path() const { return "/proc/self/fd/" + std::to_string(descriptor_); }

 private:
  int descriptor_;
};

// Checks what a reader promises about a recording it has accepted, and reads its first, middle and last frames.
inline void use_recording(const Result<std::unique_ptr<Recording>>& opened) {
  const auto require = [](bool holds) {
    if (!holds) std::abort();
  };
  if (!opened) {
    require(!opened.error().what.empty() && opened.error().line().find('\n') == std::string::npos);
    return;
  }
  const Recording& recording = **opened;
  const RecordingInfo& info = recording.info();
  require(info.width > 0 && info.height > 0 && info.frames > 0 && info.bits >= 1 && info.bits <= 62);
  require(info.zero_bits >= 0 && info.zero_bits < info.bits && info.full_scale() > 0.0);
  require(info.times.empty() || info.times.size() == info.frames);
  std::vector<float> buffer((info.bytes_per_frame() + sizeof(float) - 1) / sizeof(float));
  const auto frame = std::as_writable_bytes(std::span(buffer)).first(info.bytes_per_frame());
  for (const std::size_t number : {std::size_t{0}, info.frames / 2, info.frames - 1}) {
    const auto read = recording.read(number, 1, frame);
    require(read.has_value() || !read.error().what.empty());
  }
  require(!recording.read(info.frames, 1, frame).has_value());
}

}  // namespace halfarc
