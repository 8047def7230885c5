// build/release/bench/simulate_bench
//
// One simulated frame, 640 x 480, three colours, two layers, RGGB, against the bare Fourier work it holds: three
// transforms there and three back of the whole frame and one of the pupil for each colour, by FFTW with plans chosen by
// timing (which halfarc itself must not do: its bytes would change from run to run). Processor time of one thread, the
// smallest of several repeats, so that other work on the machine counts little. Bar: 1.5, stretch 1.2. Air that differs
// across the field may cost 4 times as much.
#include <fftw3.h>
#include <fmt/format.h>

#include <algorithm>
#include <complex>
#include <ctime>
#include <limits>
#include <type_traits>

#include "halfarc/frames/plane.h"
#include "halfarc/simulate/exposure.h"

namespace halfarc {
namespace {

double processor_seconds() {
  timespec t{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}

template <class Body>
double smallest_ms(int repeats, int times, Body body) {
  body();
  double smallest = std::numeric_limits<double>::infinity();
  for (int repeat = 0; repeat < repeats; ++repeat) {
    const double start = processor_seconds();
    for (int i = 0; i < times; ++i) body();
    smallest = std::min(smallest, (processor_seconds() - start) / times * 1e3);
  }
  return smallest;
}

fftwf_complex* raw(Plane<std::complex<float>>& plane) { return reinterpret_cast<fftwf_complex*>(plane.data()); }

double bare_ms(const ShotSpec& shot, int pupil_grid) {
  Plane<float> image(shot.width, shot.height);
  Plane<std::complex<float>> spectrum(shot.width / 2 + 1, shot.height);
  Plane<std::complex<float>> pupil(pupil_grid, pupil_grid);
  const fftwf_plan there = fftwf_plan_dft_r2c_2d(shot.height, shot.width, image.data(), raw(spectrum), FFTW_MEASURE);
  const fftwf_plan back = fftwf_plan_dft_c2r_2d(shot.height, shot.width, raw(spectrum), image.data(), FFTW_MEASURE);
  const fftwf_plan light =
      fftwf_plan_dft_2d(pupil_grid, pupil_grid, raw(pupil), raw(pupil), FFTW_FORWARD, FFTW_MEASURE);
  const double ms = smallest_ms(7, 5, [&] {
    for (int colour = 0; colour < 3; ++colour) {
      fftwf_execute(light);
      fftwf_execute(there);
      fftwf_execute(back);
    }
  });
  fftwf_destroy_plan(there);
  fftwf_destroy_plan(back);
  fftwf_destroy_plan(light);
  return ms;
}

// Processor time a frame, without what happens once a recording: the difference of a long and a short one.
double frame_ms(ShotSpec shot) {
  const auto seconds = [&](std::size_t frames) {
    shot.timing.frames = frames;
    Silent silent;
    const double start = processor_seconds();
    const auto truth =
        simulate_recording(shot, Threads{1}, silent, [](const SimulatedFrame&) -> Result<void> { return {}; });
    return truth ? processor_seconds() - start : 0.0;
  };
  constexpr std::size_t few = 4;
  constexpr std::size_t many = 84;
  double short_one = std::numeric_limits<double>::infinity();
  double long_one = std::numeric_limits<double>::infinity();
  for (int repeat = 0; repeat < 4; ++repeat) {
    short_one = std::min(short_one, seconds(few));
    long_one = std::min(long_one, seconds(many));
  }
  return (long_one - short_one) / static_cast<double>(many - few) * 1e3;
}

void run() {
  ShotSpec shot;
  shot.timing.parts = 1;
  constexpr int pupil_grid = 128;  // what the light train takes at this scale and seeing
  const double bare = bare_ms(shot, pupil_grid);
  const double frame = frame_ms(shot);
  fmt::print("bench: simulate 640x480x3, two layers   {:.2f} ms a frame, bare FFT {:.2f} ms, ratio {:.2f}\n", frame,
             bare, frame / bare);
  shot.air.patch = Angle::arcsec(8.0);
  const double patched = frame_ms(shot);
  fmt::print("bench: the same, patches of 8\"           {:.2f} ms a frame, ratio to one air {:.2f} (bar 4)\n", patched,
             patched / frame);
  shot.air.patch = {};
  shot.timing.parts = 2;
  fmt::print("bench: the same, two moments an exposure {:.2f} ms a frame\n", frame_ms(shot));
}

}  // namespace
}  // namespace halfarc

int main() { halfarc::run(); }
