// Fuzzes the reader of PNG and TIFF sequences (the input as two files of a sequence).
#include "fuzz_recording.h"
#include "halfarc/frames/picture_sequence.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  const halfarc::MemoryFile memory(bytes, size);
  const auto head = std::as_bytes(std::span(bytes, size));
  const bool png = halfarc::looks_like_png(head);
  if (!png && !halfarc::looks_like_tiff(head)) return -1;  // nothing else is ever handed to this reader
  const auto kind = png ? halfarc::PictureKind::png : halfarc::PictureKind::tiff;
  halfarc::use_recording(halfarc::open_picture_sequence({memory.path(), memory.path()}, kind, {}));
  return 0;
}
