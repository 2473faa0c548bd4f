// The troposphere of ISO 2533, and how far water can be sucked up in it.
#include "engine/hydraulics/atmosphere.h"

#include <algorithm>
#include <cmath>

namespace beckhand {

Pressure air_pressure(Length altitude) {
    constexpr double earth_radius = 6356766, sea_kelvin = 288.15, lapse = 0.0065, gas_constant = 287.05287;
    const double z = std::clamp(altitude.in(metres), -1000.0, 11000.0);
    const double geopotential = earth_radius * z / (earth_radius + z);
    constexpr double exponent = g_si / (gas_constant * lapse);
    return pascals(101325 * std::pow(1 - lapse * geopotential / sea_kelvin, exponent));
}

Length deepest_suction(Length altitude, const Water& water) {
    return head_of_pressure(air_pressure(altitude) - water.vapour, water);
}

} // namespace beckhand
