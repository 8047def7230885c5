// Fuzzes the reader of FITS cubes and of FITS sequences (the input as two files of a sequence).
#include "fuzz_recording.h"
#include "halfarc/frames/fits_recording.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  const halfarc::MemoryFile memory(bytes, size);
  auto file = halfarc::InputFile::open(memory.path());
  if (!file) return 0;
  const auto head = file->head(64);
  if (!head || !halfarc::looks_like_fits(*head)) return -1;  // nothing else is ever handed to this reader
  halfarc::use_recording(halfarc::open_fits_cube(std::move(file).value()));
  halfarc::use_recording(halfarc::open_fits_sequence({memory.path(), memory.path()}, {}));
  return 0;
}
