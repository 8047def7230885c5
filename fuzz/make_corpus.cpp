// Makes the first, well-formed files of every fuzz corpus: make_corpus FUZZ_FOLDER/corpus
#include <cstdio>
#include <filesystem>

#include "halfarc/frames/fits_cube_writer.h"
#include "small_files.h"
#include "small_pictures.h"
#include "small_video.h"

namespace {

using namespace halfarc;
namespace fs = std::filesystem;

unsigned pattern(int frame, int x, int y, int colour) {
  return static_cast<unsigned>(17 * frame + 3 * x + 5 * y + 40 * colour) % 251;
}

unsigned deep_pattern(int frame, int x, int y, int colour) { return 16U * pattern(frame, x, y, colour) + 5U; }

void make_raw(const fs::path& folder) {
  RawFile file;
  file.times = ticks(file.frames);
  put(folder / "mono8", raw_file_bytes(file, pattern));
  file.colour = 8;
  file.bits = 12;
  put(folder / "bayer12", raw_file_bytes(file, deep_pattern));
  file.big_endian = true;
  file.times.clear();
  put(folder / "bayer12_big_endian_no_times", raw_file_bytes(file, deep_pattern));
  file.colour = 101;
  file.bits = 8;
  file.width = 3;
  file.said_frames = 9;
  put(folder / "bgr8_wrong_count", raw_file_bytes(file, pattern));
}

void make_fits(const fs::path& folder) {
  const auto stored = [](int plane, int x, int y) { return pattern(plane, x, y, 0); };
  const Cards dates = {{"DATE-OBS", "'2026-11-25T20:00:00.5'"}, {"EXPTIME", "0.01"}};
  put(folder / "bytes", fits_file_bytes(8, {5, 4, 3}, {{"BAYERPAT", "'GRBG'"}, {"ROWORDER", "'BOTTOM-UP'"}}, stored));
  put(folder / "words", fits_file_bytes(16, {5, 4, 2}, {{"BZERO", "32768"}, {"BSCALE", "1"}}, stored));
  put(folder / "floats", fits_file_bytes(-32, {5, 4}, dates, stored));
  put(folder / "colour_frames", fits_file_bytes(8, {3, 2, 3, 2}, dates, stored));
  CubeForm form;
  form.width = 4;
  form.height = 3;
  form.start = Utc::unix_s(1.8e9);
  auto writer = FitsCubeWriter::create(folder / "with_times", form);
  const std::vector<std::uint16_t> frame(12, 700);
  const Utc time = *form.start;
  if (!writer || !writer->append(std::as_bytes(std::span(frame)), std::span(&time, 1)) || !writer->finish()) {
    throw std::runtime_error("cannot write a cube");
  }
}

void make_pictures(const fs::path& folder) {
  SmallPicture picture{.width = 5, .height = 4};
  write_small_png(folder / "png_grey8", picture, pattern);
  write_small_tiff(folder / "tiff_grey8", picture, pattern);
  picture.compression = COMPRESSION_LZW;
  picture.colours = 3;
  picture.bits = 16;
  write_small_png(folder / "png_rgb16", picture, deep_pattern);
  write_small_tiff(folder / "tiff_rgb16_lzw", picture, deep_pattern);
  picture.compression = COMPRESSION_ADOBE_DEFLATE;
  picture.planes = true;
  picture.interlaced = true;
  picture.colours = 4;
  picture.mode = "wb";
  write_small_png(folder / "png_rgba16_interlaced", picture, deep_pattern);
  write_small_tiff(folder / "tiff_rgba16_planes_deflate", picture, deep_pattern);
  picture = SmallPicture{.width = 9, .height = 4, .bits = 1};
  write_small_png(folder / "png_grey1", picture, [](int, int x, int, int) { return static_cast<unsigned>(x & 1); });
}

void make_videos(const fs::path& folder) {
  SmallVideo video;
  const auto write = [&](const char* name, const char* extension, const SampleAt& sample) {
    const fs::path with_extension = folder / (std::string(name) + extension);
    write_small_video(with_extension, video, sample);
    fs::rename(with_extension, folder / name);
  };
  video.tag = MKTAG('Y', '8', '0', '0');
  write("avi_grey8", ".avi", pattern);
  video.tag = 0;
  video.format = AV_PIX_FMT_BGR24;
  write("avi_bgr24", ".avi", pattern);
  video.codec = "ffv1";
  video.format = AV_PIX_FMT_GRAY16LE;
  write("mkv_ffv1_grey16", ".mkv", deep_pattern);
  video.codec = "mpeg4";
  video.format = AV_PIX_FMT_YUV420P;
  video.width = 16;
  video.height = 16;
  video.creation_time = "2026-11-25T20:00:00Z";
  write("mp4_mpeg4", ".mp4", pattern);
  video.codec = "png";
  video.format = AV_PIX_FMT_RGB24;
  write("mov_png", ".mov", pattern);
}

}  // namespace

int main(int count, char** arguments) {
  if (count != 2) {
    std::fprintf(stderr, "usage: make_corpus FOLDER\n");
    return 2;
  }
  const fs::path root = arguments[1];
  for (const char* target : {"fuzz_ser", "fuzz_fits", "fuzz_png_tiff", "fuzz_video"}) {
    fs::create_directories(root / target);
  }
  make_raw(root / "fuzz_ser");
  make_fits(root / "fuzz_fits");
  make_pictures(root / "fuzz_png_tiff");
  make_videos(root / "fuzz_video");
  return 0;
}
