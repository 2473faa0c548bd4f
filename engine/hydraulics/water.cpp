// Properties of fresh water as published formulas, T in degrees Celsius unless a formula wants kelvin.
#include "engine/hydraulics/water.h"

#include <algorithm>
#include <cmath>

namespace beckhand {

namespace {

// Kell 1975, kg/m3.
double kell_density(double t) {
    const double top =
        999.83952 +
        t * (16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12))));
    return top / (1 + 16.879850e-3 * t);
}

// IAPWS SR6-08 at 0.1 MPa, Pa s.
double iapws_viscosity(double kelvin) {
    const double r = kelvin / 300;
    return 1e-6 * (280.68 * std::pow(r, -1.9) + 511.45 * std::pow(r, -7.7) + 61.131 * std::pow(r, -19.6) +
                   0.45903 * std::pow(r, -40.0));
}

// Marczak 1997, m/s.
double marczak_sound(double t) {
    return 1.402385e3 +
           t * (5.038813 + t * (-5.799136e-2 + t * (3.287156e-4 + t * (-1.398845e-6 + t * 2.787860e-9))));
}

// Wagner & Pruss, IAPWS SR1-86, Pa.
double saturation_pressure(double kelvin) {
    constexpr double critical_kelvin = 647.096, critical_pascal = 22.064e6;
    const double tau = 1 - kelvin / critical_kelvin;
    const double sum = -7.85951783 * tau + 1.84408259 * std::pow(tau, 1.5) - 11.7866497 * std::pow(tau, 3.0) +
                       22.6807411 * std::pow(tau, 3.5) - 15.9618719 * std::pow(tau, 4.0) +
                       1.80122502 * std::pow(tau, 7.5);
    return critical_pascal * std::exp(critical_kelvin / kelvin * sum);
}

} // namespace

Water water_at(Celsius temperature) {
    const double t = std::clamp(temperature.degrees, 0.0, 60.0);
    const double kelvin = t + 273.15;
    const double rho = kell_density(t), mu = iapws_viscosity(kelvin), w = marczak_sound(t);
    return Water{.density = kilograms_per_cubic_metre(rho),
                 .viscosity = pascal_seconds(mu),
                 .kinematic_viscosity = square_metres_per_second(mu / rho),
                 .sound = metres_per_second(w),
                 .bulk_modulus = pascals(rho * w * w),
                 .vapour = pascals(saturation_pressure(kelvin))};
}

Pressure pressure_of_head(Length head, const Water& water) {
    return water.density * standard_gravity * head;
}

Length head_of_pressure(Pressure pressure, const Water& water) {
    return pressure / (water.density * standard_gravity);
}

} // namespace beckhand
