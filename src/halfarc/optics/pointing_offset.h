// Pointing offset: how far the target jumps in the field when mass is added, learned from the owner's own readings.
//
// What bends between the sky and the sensor gives way in proportion to the moment that was added. How much, nobody
// can tell beforehand: it is fitted. A reading is one part put in or taken out, with the jump that followed:
//     jump = response x change of moment + handling,
// where handling is the small move that touching the telescope makes by itself. Altitude and azimuth are alike and know
// nothing of each other. The fit is weighted least squares with a prior; what is known is a plain value, to be kept and
// updated with the next reading.
#pragma once

#include <span>

#include "halfarc/base/angle.h"

namespace halfarc {

// Before any reading: a newton metre moves the target by about a field of a planetary camera, whereto is unknown.
inline constexpr double kPriorArcsecPerNm = 300.0;       // one sigma; common practice
inline constexpr Angle kHandling = Angle::arcsec(10.0);  // one sigma on each axis; common practice

struct PointingReading {
  double moment_nm = 0.0;  // added at the rear with the tube level, N m (optics/balance.h)
  Angle altitude;          // by which the target moved on the sky, up
  Angle azimuth;           // and to the right; on the sky, so with the cosine of the altitude in it
  Angle sigma;             // of either, as read
};

// What is known of the response.
struct PointingResponse {
  double altitude = 0.0;  // arcsec for each N m
  double azimuth = 0.0;
  double variance = kPriorArcsecPerNm * kPriorArcsecPerNm;  // of either, (arcsec per N m)^2
};

// Valid: readings at about the altitude at which they will be used (the moment goes with its cosine); sigma >= 0; a
// reading that is not finite is left out. Accuracy: standard errors exact for normal errors; the order of readings is
// of no account. Source: [BatesWatts1988] 1.2.
PointingResponse with_reading(const PointingResponse& known, const PointingReading& reading);
PointingResponse with_readings(PointingResponse known, std::span<const PointingReading> readings);

// Whether readings have at least halved what was unknown.
bool is_learned(const PointingResponse& known);

struct PointingJump {
  Angle altitude;
  Angle azimuth;
  Angle sigma;  // of either, handling included
};

// Valid, Accuracy, Source: as `with_reading`.
PointingJump predict_jump(const PointingResponse& known, double moment_nm);

}  // namespace halfarc
