#include "halfarc/base/fourier.h"

#include <fftw3.h>

#include <map>
#include <mutex>
#include <new>
#include <utility>

#include "halfarc/base/fourier_planner.h"

namespace halfarc {
namespace {

struct Plans {
  fftwf_plan forward = nullptr;
  fftwf_plan inverse = nullptr;
};

// The one piece of shared state, guarded by the planner's lock.
struct PlanShelf {
  std::map<std::pair<int, int>, Plans> plans;
  std::map<std::pair<int, int>, fftwf_plan> complex_plans;
};

PlanShelf& shelf() {
  static PlanShelf* const kept = new PlanShelf;  // never destroyed: worker threads may outlive main's statics
  return *kept;
}

Plans plans_for(int width, int height) {
  PlanShelf& s = shelf();
  const std::lock_guard lock(fourier_planner_lock());
  Plans& p = s.plans[{width, height}];
  if (p.forward == nullptr) {
    const std::size_t samples = static_cast<std::size_t>(width) * static_cast<std::size_t>(height);
    constexpr std::align_val_t alignment{64};
    auto* picture = static_cast<float*>(::operator new(samples * sizeof(float), alignment));
    auto* spectrum = static_cast<fftwf_complex*>(
        ::operator new(half_spectrum_size(width, height) * sizeof(fftwf_complex), alignment));
    p.forward = fftwf_plan_dft_r2c_2d(height, width, picture, spectrum, FFTW_ESTIMATE | FFTW_PRESERVE_INPUT);
    p.inverse = fftwf_plan_dft_c2r_2d(height, width, spectrum, picture, FFTW_ESTIMATE | FFTW_DESTROY_INPUT);
    ::operator delete(picture, alignment);
    ::operator delete(spectrum, alignment);
  }
  return p;
}

fftwf_plan complex_plan_for(int width, int height) {
  PlanShelf& s = shelf();
  const std::lock_guard lock(fourier_planner_lock());
  fftwf_plan& plan = s.complex_plans[{width, height}];
  if (plan == nullptr) {
    constexpr std::align_val_t alignment{64};
    auto* grid = static_cast<fftwf_complex*>(::operator new(
        static_cast<std::size_t>(width) * static_cast<std::size_t>(height) * sizeof(fftwf_complex), alignment));
    plan = fftwf_plan_dft_2d(height, width, grid, grid, FFTW_FORWARD, FFTW_ESTIMATE);
    ::operator delete(grid, alignment);
  }
  return plan;
}

fftwf_complex* as_fftw(std::complex<float>* values) { return reinterpret_cast<fftwf_complex*>(values); }

}  // namespace

void fourier_forward(int width, int height, const float* picture, std::complex<float>* half_spectrum) {
  // FFTW takes a non-const pointer but keeps the input of an out-of-place forward transform.
  fftwf_execute_dft_r2c(plans_for(width, height).forward, const_cast<float*>(picture), as_fftw(half_spectrum));
}

void fourier_inverse(int width, int height, std::complex<float>* half_spectrum, float* picture) {
  fftwf_execute_dft_c2r(plans_for(width, height).inverse, as_fftw(half_spectrum), picture);
  const std::size_t samples = static_cast<std::size_t>(width) * static_cast<std::size_t>(height);
  const float scale = 1.0F / static_cast<float>(samples);
  for (std::size_t i = 0; i < samples; ++i) picture[i] *= scale;
}

void fourier_forward(int width, int height, std::complex<float>* grid) {
  fftwf_execute_dft(complex_plan_for(width, height), as_fftw(grid), as_fftw(grid));
}

}  // namespace halfarc
