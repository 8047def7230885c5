// Fuzzes the reader of the raw-frames container.
#include "fuzz_recording.h"
#include "halfarc/frames/raw_container.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  const halfarc::MemoryFile memory(bytes, size);
  auto file = halfarc::InputFile::open(memory.path());
  if (!file) return 0;
  (void)halfarc::looks_like_raw_container(*file);
  halfarc::use_recording(halfarc::open_raw_container(std::move(file).value()));
  return 0;
}
