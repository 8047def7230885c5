// build/release/bench/index_bench [frames]
//
// Indexing against the floor: the time to read the same bytes of the same file, cached, in large sequential reads on
// one thread. Bar: at most 3 times the floor for 640 x 480 8-bit mosaic frames on 2 threads. Discs of 100 and of 420
// pixels, since the second look at a frame covers the neighbourhood of the disc only. Median of 7 rounds after a warm-up.
#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <functional>
#include <vector>

#include "halfarc/base/random.h"
#include "halfarc/frames/recording.h"
#include "halfarc/measure/index.h"

namespace {

using namespace halfarc;

constexpr int kWidth = 640, kHeight = 480;

// One noisy RGGB frame with a darkened disc, as bytes of 8- or 16-bit (12 significant) little-endian samples.
std::vector<std::uint8_t> make_frame(double diameter, int bits, Rng rng) {
  const double full = bits == 8 ? 255.0 : 4095.0;
  std::vector<std::uint8_t> bytes;
  const double cx = 322.0 + rng.normal(), cy = 238.0 + rng.normal();
  for (int y = 0; y < kHeight; ++y) {
    for (int x = 0; x < kWidth; ++x) {
      const double r = 2.0 * std::hypot(x - cx, y - cy) / diameter;
      const double disc = r < 1.0 ? 0.45 * (0.4 + 0.6 * std::sqrt(1.0 - r * r)) : 0.0;
      const double level = full * (0.03 + disc + 0.008 * rng.normal());
      const auto sample = static_cast<std::uint16_t>(std::clamp(level, 0.0, full));
      bytes.push_back(static_cast<std::uint8_t>(sample & 0xff));
      if (bits > 8) bytes.push_back(static_cast<std::uint8_t>(sample >> 8));
    }
  }
  return bytes;
}

void put32(std::vector<std::uint8_t>& header, std::size_t at, std::uint32_t value) {
  for (std::size_t i = 0; i < 4; ++i) header[at + i] = static_cast<std::uint8_t>(value >> (8 * i));
}

// A raw-frames file (layout: frames/raw_container.h) of `frames` frames that repeat 16 different ones.
void write_file(const std::filesystem::path& path, double diameter, int bits, std::uint32_t frames) {
  std::vector<std::uint8_t> header(178);
  put32(header, 18, 8);  // RGGB
  put32(header, 26, kWidth);
  put32(header, 30, kHeight);
  put32(header, 34, bits == 8 ? 8 : 12);
  put32(header, 38, frames);
  std::vector<std::vector<std::uint8_t>> different;
  for (std::uint64_t i = 0; i < 16; ++i) different.push_back(make_frame(diameter, bits, Rng(1).child("frame", i)));
  std::ofstream file(path, std::ios::binary);
  const auto put = [&](const std::vector<std::uint8_t>& bytes) {
    file.write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
  };
  put(header);
  for (std::uint32_t i = 0; i < frames; ++i) put(different[i % different.size()]);
}

double seconds_of(const std::function<void()>& work) {
  const auto start = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

double median(std::vector<double> values) {
  std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2), values.end());
  return values[values.size() / 2];
}

void read_all(const std::filesystem::path& path) {
  static std::vector<char> buffer(std::size_t{1} << 20);
  const int file = ::open(path.c_str(), O_RDONLY);
  while (::read(file, buffer.data(), buffer.size()) > 0) {
  }
  ::close(file);
}

void measure(const std::filesystem::path& folder, double diameter, int bits, std::uint32_t frames) {
  const auto path = folder / "index_bench.ser";
  write_file(path, diameter, bits, frames);
  const auto recording = open_recording(path);
  if (!recording) {
    fmt::print(stderr, "{}\n", recording.error().line());
    std::exit(1);
  }
  for (const int threads : {1, 2}) {
    Silent silent;
    bool good = true;
    const auto index = [&] {
      const auto result = index_recording(**recording, {.threads = {threads}}, silent);
      good = good && result && result->found() == frames;
    };
    read_all(path);
    index();
    // Floor and index by turns, so that other work on the machine falls on both alike.
    std::vector<double> floors, seconds, ratios;
    for (int round = 0; round < 7; ++round) {
      floors.push_back(seconds_of([&] { read_all(path); }));
      seconds.push_back(seconds_of(index));
      ratios.push_back(seconds.back() / floors.back());
    }
    const double disc =
        std::abs(index_recording(**recording, {}, silent).value().frames[0].diameter() / diameter - 1.0);
    fmt::print(
        "bench: index/{}x{}x{} disc {:.0f} px, {} thread{}  {:.0f} frames/s  floor {:.0f} frames/s  ratio {:.2f}{}\n",
        kWidth, kHeight, bits == 8 ? 8 : 16, diameter, threads, threads == 1 ? "" : "s", frames / median(seconds),
        frames / median(floors), median(ratios), good && disc < 0.1 ? "" : "  WRONG");
  }
  std::filesystem::remove(path);
}

}  // namespace

int main(int argc, char** argv) {
  const auto frames = static_cast<std::uint32_t>(argc > 1 ? std::max(16, std::atoi(argv[1])) : 2000);
  const auto folder = std::filesystem::temp_directory_path() / fmt::format("halfarc-bench-{}", ::getpid());
  std::filesystem::create_directories(folder);
  for (const int bits : {8, 16}) {
    for (const double diameter : {100.0, 420.0}) measure(folder, diameter, bits, frames);
  }
  std::filesystem::remove_all(folder);
}
