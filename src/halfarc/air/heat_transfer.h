// Heat transfer: how fast surfaces of glass and metal give heat to air, to each other and to the night sky.
//
// Coefficients are in W/m2K: the heat that passes through a square metre for each kelvin of difference. They are
// handbook correlations, good to 20 %; a reading of the owner's own thermometer is better (time_constant.h).
#pragma once

#include "halfarc/base/length.h"
#include "halfarc/base/pressure.h"
#include "halfarc/base/speed.h"
#include "halfarc/base/temperature.h"

namespace halfarc {

inline constexpr double kStefanBoltzmann = 5.670374419e-8;  // W/m2K4

// Still air on a vertical plate or a cylinder, at a difference of 1 K: 1.42 (1 K / L)^(1/4). At another difference
// times its fourth root.
// Valid: laminar: differences of 0.1 to 20 K on heights of 0.05 to 1 m. Accuracy: 5 % of [ChurchillChu1975], 20 % of
// nature. Source: [Holman2010] table 7-2.
double still_air_w_per_m2k(Length height);

// Moving air along a plate, mean over its length: 0.664 (k/L) Re^(1/2) Pr^(1/3), air at 10 degC.
// Valid: Re below 5e5 (20 m/s at 0.3 m). Accuracy: 20 %; a gusty breeze takes up to twice as much. Source:
// [Incropera2007] eq. 7.30.
double moving_air_w_per_m2k(Speed speed, Length length);

// Radiation between surfaces of nearly one temperature: 4 e s T^3.
// Valid: differences below 20 K. Accuracy: 1 %. Source: [Incropera2007] eq. 1.9.
double radiation_w_per_m2k(double emissivity, Temperature mean);

// The emissivity of a clear sky for air at a temperature with so much vapour: 1 - (1 + w) exp(-sqrt(1.2 + 3 w)),
// w = 46.5 (e/hPa) / (T/K), the depth of vapour in cm. A sky clouded in part lies between that and 1.
// Valid: -20 to 35 degC, screen height, the whole hemisphere (overhead it is colder). Accuracy: 0.05. Source:
// [Prata1996].
double sky_emissivity(Temperature air, Pressure vapour, double cloud = 0.0);

// The temperature of a black body that would shine down as much as that sky. Accuracy: 4 K.
Temperature sky_temperature(Temperature air, Pressure vapour, double cloud = 0.0);

// What a black surface at `surface`, seeing nothing but sky, loses more than it gets: s (T^4 - Tsky^4), W/m2.
double sky_loss_w_per_m2(Temperature surface, Temperature sky);

}  // namespace halfarc
