// Perfect annular pupils against published and independently computed values.
#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "halfarc/optics/pupil.h"

namespace halfarc {
namespace {

constexpr Length kGreen = Length::nm(550.0);
constexpr Length kDiameter = Length::mm(203.0);
Angle in_units(double lambda_over_d) { return Angle::rad(lambda_over_d * (kGreen / kDiameter)); }
double units(Angle a) { return a.rad() / (kGreen / kDiameter); }

// Computed from the closed forms of [ONeill1956] (JOSA 46, 285) by a program of its own, to six decimals.
struct MtfRow {
  double x;
  std::array<double, 6> mtf;
};
constexpr std::array<double, 6> kObstructions = {0.0, 0.20, 0.30, 0.36, 0.40, 0.50};
constexpr std::array<MtfRow, 11> kMtf = {{{0.00, {1.000000, 1.000000, 1.000000, 1.000000, 1.000000, 1.000000}},
                                          {0.05, {0.936365, 0.920590, 0.909181, 0.900644, 0.894007, 0.872782}},
                                          {0.15, {0.809733, 0.766150, 0.730685, 0.704759, 0.684725, 0.620923}},
                                          {0.25, {0.685038, 0.630248, 0.562859, 0.518009, 0.484016, 0.377051}},
                                          {0.35, {0.563639, 0.503791, 0.421582, 0.364951, 0.333550, 0.266190}},
                                          {0.45, {0.447014, 0.399842, 0.356861, 0.323646, 0.297636, 0.227073}},
                                          {0.50, {0.391002, 0.367397, 0.337082, 0.311736, 0.291236, 0.223596}},
                                          {0.65, {0.235075, 0.244870, 0.258324, 0.259800, 0.256206, 0.233400}},
                                          {0.75, {0.144294, 0.150306, 0.158564, 0.165779, 0.171778, 0.192391}},
                                          {0.95, {0.013320, 0.013875, 0.014637, 0.015303, 0.015857, 0.017760}},
                                          {1.00, {0.000000, 0.000000, 0.000000, 0.000000, 0.000000, 0.000000}}}};

TEST(AnnularPupil, TransferFunctionOfONeill1956) {
  for (std::size_t e = 0; e < kObstructions.size(); ++e) {
    const Pupil pupil{kDiameter, kObstructions[e]};
    for (const MtfRow& row : kMtf) {
      const auto nu = cut_off(pupil, kGreen) * row.x;
      EXPECT_NEAR(perfect_mtf(pupil, kGreen, nu), row.mtf[e], 1e-6) << "e " << kObstructions[e] << " x " << row.x;
    }
  }
}

// [BornWolf1999] 8.5: dark rings of the Airy pattern and the energy inside; width and first bright ring.
TEST(ClearPupil, AiryPatternOfBornAndWolf) {
  const Pupil clear{kDiameter, 0.0};
  EXPECT_NEAR(units(first_dark_ring(clear, kGreen)), 1.21967, 5e-6);
  EXPECT_NEAR(encircled_energy(clear, kGreen, in_units(1.21967)), 0.8378, 5e-5);
  EXPECT_NEAR(encircled_energy(clear, kGreen, in_units(2.23313)), 0.9099, 5e-5);
  EXPECT_NEAR(units(point_fwhm(clear, kGreen)), 1.02899, 5e-6);
  EXPECT_NEAR(point_intensity(clear, kGreen, in_units(1.6347)), 0.01750, 5e-6);
}

// [BornWolf1999] 8.5, eq. 18: the energy within v is 1 - J0^2(v) - J1^2(v).
TEST(ClearPupil, EncircledEnergyInClosedForm) {
  for (const double r : {0.3, 1.0, 2.7, 6.0, 20.0}) {
    const double v = 3.14159265358979 * r;
    const double closed = 1.0 - std::pow(std::cyl_bessel_j(0.0, v), 2) - std::pow(std::cyl_bessel_j(1.0, v), 2);
    EXPECT_NEAR(encircled_energy({kDiameter, 0.0}, kGreen, in_units(r)), closed, 1e-6) << r;
  }
}

// Schroeder, Astronomical Optics, ch. 10, gives 1.22/0.838, 1.17/0.764, 1.11/0.682, 1.06/0.584,
// 1.00/0.479 for obstructions 0, 0.2, 0.3, 0.4, 0.5 (from memory); the further digits were computed from the closed
// forms by a program of its own.
struct PsfRow {
  double obstruction, zero, energy_in_zero, fwhm, ring_radius, ring_peak, energy_at_airy_zero;
};
constexpr std::array<PsfRow, 8> kPsf = {{{0.0, 1.21967, 0.837785, 1.02899, 1.63475, 0.0174979, 0.837785},
                                         {0.1, 1.20506, 0.818419, 1.02328, 1.63446, 0.0205599, 0.818422},
                                         {0.2, 1.16651, 0.763763, 1.00675, 1.63028, 0.0303502, 0.763919},
                                         {0.3, 1.11452, 0.682368, 0.981114, 1.61474, 0.0475129, 0.683751},
                                         {0.33, 1.09768, 0.65426, 0.971979, 1.60698, 0.0539682, 0.656497},
                                         {0.36, 1.0806, 0.624927, 0.962294, 1.5977, 0.0609, 0.62835},
                                         {0.4, 1.05767, 0.584336, 0.948635, 1.58288, 0.0707066, 0.589939},
                                         {0.5, 1.00091, 0.478622, 0.911669, 1.53503, 0.0963365, 0.492999}}};

TEST(AnnularPupil, PointSpreadTable) {
  for (const PsfRow& row : kPsf) {
    const Pupil pupil{kDiameter, row.obstruction};
    SCOPED_TRACE(row.obstruction);
    EXPECT_NEAR(units(first_dark_ring(pupil, kGreen)), row.zero, 6e-6);
    EXPECT_NEAR(encircled_energy(pupil, kGreen, first_dark_ring(pupil, kGreen)), row.energy_in_zero, 1e-6);
    EXPECT_NEAR(units(point_fwhm(pupil, kGreen)), row.fwhm, 6e-6);
    EXPECT_NEAR(point_intensity(pupil, kGreen, in_units(row.ring_radius)), row.ring_peak, 1e-7);
    EXPECT_NEAR(encircled_energy(pupil, kGreen, in_units(1.21967)), row.energy_at_airy_zero, 2e-6);
  }
}

// [BornWolf1999] 9.3 and [Mahajan1998]: a quarter wave of defocus leaves 0.8106 (clear) and 0.8536 (obstruction 0.36) of
// the peak; it is lambda / 13.86 rms on a clear pupil; and it is 2 lambda N^2 along the axis (0.440 mm at f/20).
TEST(Defocus, QuarterWave) {
  EXPECT_NEAR(defocus_strehl({kDiameter, 0.0}, 0.25), 0.8106, 5e-5);
  EXPECT_NEAR(defocus_strehl({kDiameter, 0.36}, 0.25), 0.8536, 5e-5);
  EXPECT_NEAR(1.0 / defocus_rms_waves({kDiameter, 0.0}, 0.25), 13.86, 0.005);
  EXPECT_NEAR(focus_shift(0.25, kGreen, 20.0).mm(), 0.440, 1e-9);
  // Marechal 1947: lambda/14 leaves 0.82 by the exponential form.
  EXPECT_NEAR(strehl_of_rms(1.0 / 14.05), 0.8187, 2e-4);
}

}  // namespace
}  // namespace halfarc
