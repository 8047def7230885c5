// build/release/bench/aligned_exposure_table [exposures]
//
// Makes data/air/aligned_exposures.inc: for each share of the exposures kept and each D/r0 the contrast left in the
// mean of the sharpest exposures, aligned to the mean of all; and the share of each exposure's power that survives in
// the mean of all. Phase screens of simulate/, point spreads of optics/; the alignment weighs frequencies as a planet's
// disc does (power falling with the cube of frequency), and so does the judgement of sharpness, between a fifth and
// three fifths of the cut-off. Printed as C++ rows, x = 0, 0.05, ... 1.

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <cstdio>
#include <cstdlib>
#include <numbers>
#include <numeric>
#include <vector>

#include "halfarc/base/fourier.h"
#include "halfarc/base/parallel.h"
#include "halfarc/frames/plane.h"
#include "halfarc/optics/sampled_pupil.h"
#include "halfarc/simulate/screen.h"

namespace halfarc {
namespace {

constexpr int kGrid = 80;
constexpr int kHalf = kGrid / 2 + 1;
constexpr std::array<double, 13> kDOverR0 = {0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 8.0, 10.0};
constexpr std::array<double, 5> kKept = {1.0, 0.5, 0.2, 0.1, 0.05};
constexpr int kColumns = 21;
constexpr double kTurn = 2.0 * std::numbers::pi;

using Transfer = Plane<std::complex<float>>;  // half spectrum of a point spread

const Pupil kPupil{Length::mm(203.0), 0.34};
const Length kWavelength = Length::nm(500.0);

struct Frequency {
  double fx, fy;  // cycles per sample
  double x;       // of the cut-off
};

Frequency frequency(int kx, int ky) {
  const double fx = static_cast<double>(kx) / kGrid;
  const double fy = static_cast<double>(2 * ky < kGrid ? ky : ky - kGrid) / kGrid;
  return {fx, fy, 2.0 * std::hypot(fx, fy)};  // sampled at lambda / (2 D): the cut-off is half a cycle a sample
}

Transfer transfer_of(const SampledPupil& pupil, std::span<const float> opd) {
  Plane<std::complex<float>> field(kGrid, kGrid);
  Plane<float> spread(kGrid, kGrid);
  pupil.point_spread(opd, field.samples(), spread.samples());
  Transfer transfer(kHalf, kGrid);
  fourier_forward(kGrid, kGrid, spread.data(), transfer.data());
  return transfer;
}

std::vector<Transfer> exposures_of(double d_over_r0, std::size_t count) {
  const SampledPupil pupil(kPupil, kWavelength, critical_pitch(kPupil, kWavelength), kGrid);
  ScreenSpec spec;
  spec.strength.r0 = kPupil.diameter * (1.0 / d_over_r0);
  spec.strength.wavelength = kWavelength;
  spec.strength.outer_scale = kPupil.diameter * 100.0;
  spec.cell = pupil.cell();
  const PhaseScreen screen(spec, Rng(7).child("table", static_cast<std::uint64_t>(100.0 * d_over_r0)));
  std::vector<Transfer> result(count);
  parallel_for(count, {}, [&](std::size_t i) {
    std::vector<float> opd(pupil.points().size());
    screen.add_path(pupil.points(), kPupil.diameter * (1.7 * static_cast<double>(i)), Angle::deg(0.0), {}, opd);
    result[i] = transfer_of(pupil, opd);
  });
  return result;
}

Transfer mean_of(const std::vector<Transfer>& exposures, const std::vector<std::array<double, 2>>& shifts) {
  std::vector<std::complex<double>> sum(static_cast<std::size_t>(kHalf) * kGrid);
  for (std::size_t i = 0; i < exposures.size(); ++i) {
    for (int ky = 0; ky < kGrid; ++ky) {
      for (int kx = 0; kx < kHalf; ++kx) {
        const Frequency f = frequency(kx, ky);
        sum[static_cast<std::size_t>(ky * kHalf + kx)] +=
            std::complex<double>(exposures[i](kx, ky)) *
            std::polar(1.0, kTurn * (f.fx * shifts[i][0] + f.fy * shifts[i][1]));
      }
    }
  }
  Transfer mean(kHalf, kGrid);
  for (std::size_t k = 0; k < sum.size(); ++k)
    mean.samples()[k] = std::complex<float>(sum[k] / static_cast<double>(exposures.size()));
  return mean;
}

// A few Newton steps towards the best agreement of one exposure with the mean.
void align(const Transfer& exposure, const Transfer& mean, std::array<double, 2>& shift) {
  for (int step = 0; step < 4; ++step) {
    double gx = 0.0, gy = 0.0, xx = 0.0, yy = 0.0;
    for (int ky = 0; ky < kGrid; ++ky) {
      for (int kx = 0; kx < kHalf; ++kx) {
        const Frequency f = frequency(kx, ky);
        if (f.x <= 0.0 || f.x >= 0.7) continue;
        const double weight = (kx == 0 ? 1.0 : 2.0) / std::pow(std::max(f.x, 0.03), 3);
        const std::complex<double> value = std::complex<double>(exposure(kx, ky) * std::conj(mean(kx, ky))) *
                                           std::polar(weight, kTurn * (f.fx * shift[0] + f.fy * shift[1]));
        gx -= value.imag() * kTurn * f.fx;
        gy -= value.imag() * kTurn * f.fy;
        xx += value.real() * std::pow(kTurn * f.fx, 2);
        yy += value.real() * std::pow(kTurn * f.fy, 2);
      }
    }
    shift[0] += std::clamp(gx / std::max(xx, 1e-9), -2.0, 2.0);
    shift[1] += std::clamp(gy / std::max(yy, 1e-9), -2.0, 2.0);
  }
}

using Values = std::array<double, kColumns>;

// Calls visit(kx, ky, column, copies) for each value of the half spectrum up to the cut-off.
template <class Visit>
void each_value(const Visit& visit) {
  for (int ky = 0; ky < kGrid; ++ky) {
    for (int kx = 0; kx < kHalf; ++kx) {
      const auto column = static_cast<std::size_t>(std::lround(frequency(kx, ky).x * (kColumns - 1)));
      if (column < kColumns) visit(kx, ky, column, kx == 0 || 2 * kx == kGrid ? 1.0 : 2.0);
    }
  }
}

// Nothing passes at the cut-off itself.
Values with_last_like_the_one_before(Values values) {
  values[kColumns - 1] = values[kColumns - 2];
  return values;
}

Values transfer_of_mean(const Transfer& mean, const Transfer& perfect) {
  Values with_perfect{}, perfect_power{}, transfer{};
  each_value([&](int kx, int ky, std::size_t column, double copies) {
    const double ideal = static_cast<double>(perfect(kx, ky).real());
    with_perfect[column] += copies * static_cast<double>(mean(kx, ky).real()) * ideal;
    perfect_power[column] += copies * ideal * ideal;
  });
  for (std::size_t c = 0; c < kColumns; ++c) transfer[c] = std::max(0.0, with_perfect[c] / perfect_power[c]);
  return with_last_like_the_one_before(transfer);
}

Values surviving_share(const Transfer& mean, const std::vector<Transfer>& exposures) {
  Values coherent{}, power{}, ratio{};
  each_value([&](int kx, int ky, std::size_t column, double copies) {
    coherent[column] += copies * static_cast<double>(std::norm(mean(kx, ky)));
    for (const Transfer& e : exposures)
      power[column] += copies * static_cast<double>(std::norm(e(kx, ky))) / static_cast<double>(exposures.size());
  });
  for (std::size_t c = 0; c < kColumns; ++c) ratio[c] = std::clamp(coherent[c] / power[c], 0.0, 1.0);
  return with_last_like_the_one_before(ratio);
}

double sharpness(const Transfer& exposure) {
  double sum = 0.0;
  each_value([&](int kx, int ky, std::size_t, double copies) {
    const double x = frequency(kx, ky).x;
    if (x >= 0.2 && x <= 0.6) sum += copies * static_cast<double>(std::norm(exposure(kx, ky))) / (x * x * x);
  });
  return sum;
}

struct Row {
  std::array<Values, kKept.size()> transfer{};
  Values ratio{};
};

Row row_of(double d_over_r0, std::size_t count, const Transfer& perfect) {
  const std::vector<Transfer> exposures = exposures_of(d_over_r0, count);
  std::vector<std::array<double, 2>> shifts(count);
  for (int round = 0; round < 6; ++round) {
    const Transfer mean = mean_of(exposures, shifts);
    parallel_for(count, {}, [&](std::size_t i) { align(exposures[i], mean, shifts[i]); });
  }
  std::vector<double> scores;
  for (const Transfer& e : exposures) scores.push_back(sharpness(e));
  std::vector<std::size_t> order(count);
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return scores[a] > scores[b]; });
  Row row;
  row.ratio = surviving_share(mean_of(exposures, shifts), exposures);
  for (std::size_t k = 0; k < kKept.size(); ++k) {
    std::vector<Transfer> best;
    std::vector<std::array<double, 2>> best_shifts;
    for (std::size_t i = 0; i < static_cast<std::size_t>(std::lround(kKept[k] * static_cast<double>(count))); ++i) {
      best.push_back(exposures[order[i]].copy());
      best_shifts.push_back(shifts[order[i]]);
    }
    row.transfer[k] = transfer_of_mean(mean_of(best, best_shifts), perfect);
  }
  return row;
}

void print(const Values& values) {
  std::printf("    {");
  for (std::size_t c = 0; c < kColumns; ++c) std::printf("%s%.3f", c == 0 ? "" : ", ", values[c]);
  std::printf("},\n");
}

}  // namespace
}  // namespace halfarc

int main(int argc, char** argv) {
  using namespace halfarc;
  const std::size_t count = argc > 1 ? static_cast<std::size_t>(std::atol(argv[1])) : 2400;
  const SampledPupil pupil(kPupil, kWavelength, critical_pitch(kPupil, kWavelength), kGrid);
  const Transfer perfect = transfer_of(pupil, std::vector<float>(pupil.points().size()));
  std::vector<Row> rows;
  for (const double d_over_r0 : kDOverR0) rows.push_back(row_of(d_over_r0, count, perfect));
  std::printf("// data: bench/aligned_exposure_table, one row a D/r0 from 0.5 to 10\n");
  for (std::size_t k = 0; k < kKept.size(); ++k) {
    std::printf("{{  // the best %g %%\n", 100.0 * kKept[k]);
    for (const Row& row : rows) print(row.transfer[k]);
    std::printf("}},\n");
  }
  std::printf("{{  // share of the power that survives in the mean\n");
  for (const Row& row : rows) print(row.ratio);
  std::printf("}},\n");
  return 0;
}
