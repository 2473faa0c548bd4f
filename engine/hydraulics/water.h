// Fresh water between 0 and 60 degrees Celsius at about one atmosphere: how heavy, how thick, how stiff,
// and when it boils. Each property is a published formula held against the IAPWS values in the tests.
#pragma once

#include "engine/quantity/quantity.h"

namespace beckhand {

struct Water {
    Density density;
    DynamicViscosity viscosity;
    KinematicViscosity kinematic_viscosity; // viscosity / density
    Speed sound;                            // in unbounded water
    Pressure bulk_modulus;                  // density x sound squared
    Pressure vapour;                        // absolute
};

/// Water of a spring or stream where nobody has taken its temperature.
inline constexpr Celsius usual_water{15.0};

/// Temperature is held to 0..60 C. Formulas and their error against IAPWS at 0.1 MPa over that range:
///   density    Kell, J. Chem. Eng. Data 20 (1975) 97                      0.01 kg/m3 below 40 C, 0.05 above
///   viscosity  IAPWS SR6-08, equation for 0.1 MPa                         the formula is the standard
///   sound      Marczak, J. Acoust. Soc. Am. 102 (1997) 2776               0.1 m/s
///   vapour     Wagner & Pruss, IAPWS SR1-86 saturation equation           0.03 %
[[nodiscard]] Water water_at(Celsius temperature);

/// Pressure of a column of water, gauge.
[[nodiscard]] Pressure pressure_of_head(Length head, const Water& water);
[[nodiscard]] Length head_of_pressure(Pressure pressure, const Water& water);

} // namespace beckhand
