// Fall and lift with what lies in the shed: a clear hose full of water, a level and a staff, a pressure gauge.
#pragma once

#include <span>

#include "engine/measuring/with_error.h"
#include "engine/quantity/quantity.h"

namespace beckhand {

/// Of one mark at the standing water of a hose, read with a tape: common practice.
inline constexpr Length hose_mark_error = millimetres(5);
/// Of one reading of a staff over a builder's or hand level, sights of 20 m and less: common practice.
inline constexpr Length staff_error = millimetres(5);

/// Downhill by a water-filled hose: at each step, from the water's level in the hose down to the next point.
[[nodiscard]] WithError<Length> height_by_hose(std::span<const Length> drops);

/// One set-up of the level: the staff read at the upper point and at the lower point.
struct SetUp { Length upper, lower; };
/// The sum over the set-ups of lower less upper reading; negative where it was read the other way round.
[[nodiscard]] WithError<Length> height_by_staff(std::span<const SetUp> set_ups);

/// Of standing water above a gauge: (reading - reading at no pressure) / (density x gravity). Only where the water
/// stands: moving water loses part of its head in the pipe. `gauge_error`: one standard deviation of a reading.
/// A common gauge is good to 1.6 % of its range (class 1.6 of EN 837-1, from memory); taken as two deviations.
[[nodiscard]] WithError<Length> height_by_gauge(Pressure reading, Pressure at_no_pressure, Celsius water, Pressure gauge_range);

} // namespace beckhand
