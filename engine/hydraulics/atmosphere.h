// Air pressure against height above the sea: how far water can be sucked, and what a gauge reads from.
#pragma once

#include "engine/hydraulics/water.h"
#include "engine/quantity/quantity.h"

namespace beckhand {

/// ISO 2533 standard atmosphere below 11 km: geopotential height H = r z / (r + z), r 6 356 766 m, then
/// p = 101 325 (1 - 0.0065 H / 288.15)^5.25588. Held to -1000 m .. 11 000 m.
[[nodiscard]] Pressure air_pressure(Length altitude);

/// Deepest suction head before the water boils: (air pressure - vapour pressure) / (rho g).
[[nodiscard]] Length deepest_suction(Length altitude, const Water& water);

} // namespace beckhand
