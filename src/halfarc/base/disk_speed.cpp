#include "halfarc/base/disk_speed.h"

#include <fcntl.h>
#include <linux/magic.h>
#include <sys/mman.h>
#include <sys/vfs.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <string>
#include <vector>

#include "halfarc/base/disk.h"
#include "halfarc/base/random.h"
#include "halfarc/base/stopwatch.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kFewestPieces = 3;
constexpr double kRemembered = 0.02;  // more of the file than this in memory: the disk was not asked

// An open file without a name in a folder.
class NamelessFile {
 public:
  static Result<NamelessFile> create(const fs::path& folder) {
    int descriptor = ::open(folder.c_str(), O_TMPFILE | O_RDWR | O_CLOEXEC, 0600);
    if (descriptor < 0 && (errno == EOPNOTSUPP || errno == EISDIR || errno == EINVAL)) {
      std::string name = (folder / ".halfarc-speed.XXXXXX").string();  // file systems without nameless files
      descriptor = ::mkostemp(name.data(), O_CLOEXEC);
      if (descriptor >= 0) ::unlink(name.c_str());
    }
    if (descriptor < 0) return cannot_write(folder, errno);
    return NamelessFile(descriptor);
  }
  NamelessFile(NamelessFile&& other) noexcept : descriptor_(std::exchange(other.descriptor_, -1)) {}
  NamelessFile& operator=(NamelessFile&&) = delete;
  NamelessFile(const NamelessFile&) = delete;
  NamelessFile& operator=(const NamelessFile&) = delete;
  ~NamelessFile() {
    if (descriptor_ >= 0) ::close(descriptor_);
  }
  int descriptor() const { return descriptor_; }

 private:
  explicit NamelessFile(int descriptor) : descriptor_(descriptor) {}
  int descriptor_;
};

std::vector<std::uint64_t> noise(std::size_t bytes) {
  Rng chance(1);
  std::vector<std::uint64_t> words(bytes / sizeof(std::uint64_t));
  for (std::uint64_t& word : words) word = chance.bits64();
  return words;
}

bool lies_in_memory(int descriptor) {
  struct statfs about {};
  if (::fstatfs(descriptor, &about) != 0) return false;
  return about.f_type == TMPFS_MAGIC || about.f_type == RAMFS_MAGIC;
}

// The share of the file's pages that memory still holds; 1 when nobody tells.
double share_in_memory(int descriptor, std::size_t bytes) {
  void* const mapped = ::mmap(nullptr, bytes, PROT_READ, MAP_SHARED, descriptor, 0);
  if (mapped == MAP_FAILED) return 1.0;
  const auto page = static_cast<std::size_t>(::sysconf(_SC_PAGESIZE));
  std::vector<unsigned char> pages((bytes + page - 1) / page);
  const bool told = ::mincore(mapped, bytes, pages.data()) == 0;
  ::munmap(mapped, bytes);
  if (!told) return 1.0;
  const auto held = std::count_if(pages.begin(), pages.end(), [](unsigned char p) { return (p & 1U) != 0; });
  return static_cast<double>(held) / static_cast<double>(pages.size());
}

Result<std::vector<double>> write_pieces(int descriptor, std::span<const std::byte> piece, std::size_t pieces,
                                         Duration longest, const fs::path& folder) {
  std::vector<double> seconds;
  double all = 0.0;
  while (seconds.size() < pieces && (seconds.size() < kFewestPieces || all < longest.s())) {
    Stopwatch clock;
    HALFARC_CHECK(write_all(descriptor, piece, folder));
    if (::fdatasync(descriptor) != 0) return cannot_write(folder, errno);
    seconds.push_back(clock.lap());
    all += seconds.back();
  }
  return seconds;
}

// Nothing when the file could not be read in order, or when it was in memory.
std::optional<std::vector<double>> read_pieces(int descriptor, std::size_t piece, std::size_t pieces) {
  if (::posix_fadvise(descriptor, 0, 0, POSIX_FADV_DONTNEED) != 0) return std::nullopt;
  if (share_in_memory(descriptor, piece * pieces) > kRemembered) return std::nullopt;
  std::vector<std::byte> into(piece);
  std::vector<double> seconds;
  for (std::size_t i = 0; i < pieces; ++i) {
    Stopwatch clock;
    for (std::size_t done = 0; done < piece;) {
      const ssize_t count = ::pread(descriptor, into.data() + done, piece - done, static_cast<off_t>(i * piece + done));
      if (count < 0 && errno == EINTR) continue;
      if (count <= 0) return std::nullopt;
      done += static_cast<std::size_t>(count);
    }
    seconds.push_back(clock.lap());
  }
  return seconds;
}

}  // namespace

Measured<double> rate_of_pieces(double bytes_a_piece, std::span<const double> seconds) {
  const auto n = static_cast<double>(seconds.size());
  double sum = 0.0, squares = 0.0;
  for (const double s : seconds) sum += s;
  const double mean = sum / n;
  for (const double s : seconds) squares += (s - mean) * (s - mean);
  const double rate = bytes_a_piece / mean;
  return {rate, rate * std::sqrt(squares / (n - 1.0) / n) / mean};
}

Result<DiskSpeed> measure_disk_speed(const fs::path& folder, const DiskTrial& trial) {
  std::error_code problem;
  const fs::space_info space = fs::space(folder, problem);
  if (problem) return cannot_write(folder, problem.value());
  const std::size_t most = std::min<std::size_t>(trial.most, space.available / 10);
  const std::size_t pieces = most / trial.piece;
  if (pieces < kFewestPieces) return cannot_write(folder, ENOSPC);
  HALFARC_TRY(const NamelessFile file, NamelessFile::create(folder));
  const std::vector<std::uint64_t> words = noise(trial.piece);
  const auto piece = std::as_bytes(std::span(words));
  HALFARC_TRY(const auto written, write_pieces(file.descriptor(), piece, pieces, trial.longest, folder));

  const auto bytes = static_cast<double>(piece.size());
  DiskSpeed speed;
  speed.write_bytes_per_s = rate_of_pieces(bytes, written);
  speed.slowest_write_bytes_per_s = bytes / *std::max_element(written.begin(), written.end());
  speed.tried_bytes = bytes * static_cast<double>(written.size());
  speed.free_bytes = static_cast<double>(space.available);
  speed.is_memory = lies_in_memory(file.descriptor());
  if (const auto read = read_pieces(file.descriptor(), piece.size(), written.size()))
    speed.read_bytes_per_s = rate_of_pieces(bytes, *read);
  return speed;
}

}  // namespace halfarc
