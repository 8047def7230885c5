#include "halfarc/optics/pointing_offset.h"

#include <cmath>

namespace halfarc {

PointingResponse with_reading(const PointingResponse& known, const PointingReading& reading) {
  const double moment = reading.moment_nm;
  if (!std::isfinite(moment) || !is_finite(reading.altitude) || !is_finite(reading.azimuth) ||
      !is_finite(reading.sigma))
    return known;
  const double scatter = std::hypot(reading.sigma.arcsec(), kHandling.arcsec());
  const double gain = known.variance * moment / (moment * moment * known.variance + scatter * scatter);
  PointingResponse learned = known;
  learned.altitude += gain * (reading.altitude.arcsec() - known.altitude * moment);
  learned.azimuth += gain * (reading.azimuth.arcsec() - known.azimuth * moment);
  learned.variance *= 1.0 - gain * moment;
  return learned;
}

PointingResponse with_readings(PointingResponse known, std::span<const PointingReading> readings) {
  for (const PointingReading& reading : readings) known = with_reading(known, reading);
  return known;
}

bool is_learned(const PointingResponse& known) { return std::sqrt(known.variance) <= 0.5 * kPriorArcsecPerNm; }

PointingJump predict_jump(const PointingResponse& known, double moment_nm) {
  const double sigma = std::hypot(moment_nm * std::sqrt(known.variance), kHandling.arcsec());
  return {Angle::arcsec(known.altitude * moment_nm), Angle::arcsec(known.azimuth * moment_nm), Angle::arcsec(sigma)};
}

}  // namespace halfarc
