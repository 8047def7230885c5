// Fuzzes the reader of video files.
#include "fuzz_recording.h"
#include "halfarc/frames/video.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  const halfarc::MemoryFile memory(bytes, size);
  const auto file = halfarc::InputFile::open(memory.path());
  if (!file) return 0;
  if (!halfarc::looks_like_video(std::as_bytes(std::span(bytes, size)))) return -1;
  halfarc::use_recording(halfarc::open_video(*file));
  return 0;
}
