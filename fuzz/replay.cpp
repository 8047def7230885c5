// Runs a fuzz target over files instead of made-up input: fuzz_ser FOLDER_OR_FILE...
// In ordinary builds this stands in for libFuzzer, so that the corpus, with every input that ever crashed, is a test.
#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size);

namespace {

namespace fs = std::filesystem;

void replay(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(in), {}};
  std::printf("%s\n", path.c_str());
  std::fflush(stdout);
  LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
}

}  // namespace

int main(int count, char** arguments) {
  int files = 0;
  for (int i = 1; i < count; ++i) {
    const fs::path path = arguments[i];
    if (!fs::is_directory(path)) {
      replay(path);
      ++files;
      continue;
    }
    for (const auto& entry : fs::directory_iterator(path)) {
      replay(entry.path());
      ++files;
    }
  }
  std::printf("%d files\n", files);
  return files > 0 ? 0 : 1;  // an empty corpus tests nothing
}
