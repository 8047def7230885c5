// Small recordings built byte by byte or with another library's writer, so that our readers are not tested against our
// own writers alone. A sample is asked of a function: sample(frame, x, y, colour).
#pragma once

#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace halfarc {

using SampleAt = std::function<unsigned(int frame, int x, int y, int colour)>;

inline void put(const std::filesystem::path& path, const std::string& bytes) {
  std::ofstream out(path, std::ios::binary);
  out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  if (!out) throw std::runtime_error("cannot write " + path.string());
}

inline std::string get(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

// `bytes` low bytes of `value`, least significant first.
inline std::string little(std::uint64_t value, int bytes) {
  std::string out;
  for (int i = 0; i < bytes; ++i) out += static_cast<char>((value >> (8 * i)) & 0xFF);
  return out;
}

inline std::string big(std::uint64_t value, int bytes) {
  const std::string out = little(value, bytes);
  return {out.rbegin(), out.rend()};
}

// The trade's raw-frames container.
struct RawFile {
  int colour = 0;  // 0 mono, 8 to 11 Bayer, 100 RGB, 101 BGR
  int width = 8;
  int height = 6;
  int bits = 8;
  int frames = 3;                 // really written
  std::int64_t said_frames = -1;  // by the header; -1: the truth
  bool big_endian = false;
  int endian_flag = 0;
  std::int64_t local_ticks = 638'997'120'000'000'000;  // 2025-11-26T00:00:00
  std::int64_t utc_ticks = 638'997'120'000'000'000;
  std::vector<std::int64_t> times;  // ticks, written behind the frames
};

constexpr std::int64_t kSomeTicks = 638'997'120'000'000'000;

// As many times as frames, `step` ticks of 100 ns apart.
inline std::vector<std::int64_t> ticks(int frames, std::int64_t first = kSomeTicks, std::int64_t step = 100'000) {
  std::vector<std::int64_t> out;
  for (int i = 0; i < frames; ++i) out.push_back(first + i * step);
  return out;
}

inline std::string raw_file_bytes(const RawFile& file, const SampleAt& sample) {
  std::string out = "anything at al";
  const auto int32 = [&](std::int64_t v) { out += little(static_cast<std::uint64_t>(v), 4); };
  const std::int64_t said = file.said_frames < 0 ? file.frames : file.said_frames;
  for (const std::int64_t v : {std::int64_t{0}, std::int64_t{file.colour}, std::int64_t{file.endian_flag},
                               std::int64_t{file.width}, std::int64_t{file.height}, std::int64_t{file.bits}, said}) {
    int32(v);
  }
  out += std::string(120, ' ');
  out +=
      little(static_cast<std::uint64_t>(file.local_ticks), 8) + little(static_cast<std::uint64_t>(file.utc_ticks), 8);
  const int colours = file.colour >= 100 ? 3 : 1;
  for (int f = 0; f < file.frames; ++f) {
    for (int y = 0; y < file.height; ++y) {
      for (int x = 0; x < file.width; ++x) {
        for (int c = 0; c < colours; ++c) {
          const unsigned v = sample(f, x, y, c);
          if (file.bits <= 8) out += little(v, 1);
          if (file.bits > 8) out += file.big_endian ? big(v, 2) : little(v, 2);
        }
      }
    }
  }
  for (const std::int64_t t : file.times) out += little(static_cast<std::uint64_t>(t), 8);
  return out;
}

// A FITS header or data unit filled up to whole blocks.
inline std::string fits_block(std::string bytes, char fill) {
  bytes.resize((bytes.size() + 2879) / 2880 * 2880, fill);
  return bytes;
}

// Cards as "KEY" and the text of the value, already in FITS notation.
using Cards = std::vector<std::pair<std::string, std::string>>;

inline std::string fits_header_bytes(const Cards& cards) {
  std::string out;
  for (const auto& [key, value] : cards) {
    std::string card = key;
    card.resize(8, ' ');
    card += "= ";
    card += value.front() == '\'' ? value : std::string(value.size() < 20 ? 20 - value.size() : 0, ' ') + value;
    card.resize(80, ' ');
    out += card;
  }
  std::string end = "END";
  end.resize(80, ' ');
  return fits_block(out + end, ' ');
}

// A primary image. `stored` gives the stored integer or, for BITPIX -32, the bits of the float; axes beyond the second
// are walked in order as frame numbers.
inline std::string fits_file_bytes(int bitpix, const std::vector<int>& axes, const Cards& more,
                                   const std::function<std::uint32_t(int plane, int x, int y)>& stored) {
  Cards cards = {{"SIMPLE", "T"}, {"BITPIX", std::to_string(bitpix)}, {"NAXIS", std::to_string(axes.size())}};
  int planes = 1;
  for (std::size_t i = 0; i < axes.size(); ++i) {
    cards.push_back({"NAXIS" + std::to_string(i + 1), std::to_string(axes[i])});
    if (i >= 2) planes *= axes[i];
  }
  cards.insert(cards.end(), more.begin(), more.end());
  std::string data;
  for (int p = 0; p < planes; ++p) {
    for (int y = 0; y < axes[1]; ++y) {
      for (int x = 0; x < axes[0]; ++x) data += big(stored(p, x, y), bitpix < 0 ? -bitpix / 8 : bitpix / 8);
    }
  }
  return fits_header_bytes(cards) + fits_block(data, '\0');
}

}  // namespace halfarc
