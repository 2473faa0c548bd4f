#include "engine/measuring/heights.h"

#include <cmath>

#include "engine/hydraulics/water.h"

namespace beckhand {

namespace {

constexpr double tape_error = 0.001;              // of the length: a tape that hangs (common practice)
constexpr double gauge_class = 0.016;             // of the range, two standard deviations
constexpr double read_error = 0.005;              // of the range: a fifth of a mark, 40 marks (common practice)

} // namespace

WithError<Length> height_by_hose(std::span<const Length> drops) {
    WithError<Length> found;
    for (const Length drop : drops) found.value += drop;
    // Each step has a mark at its upper and one at its lower end.
    const double marks = 2 * static_cast<double>(drops.size());
    found.error = root_sum_of_squares(hose_mark_error * std::sqrt(marks), found.value * tape_error);
    return found;
}

WithError<Length> height_by_staff(std::span<const SetUp> set_ups) {
    WithError<Length> found;
    for (const SetUp& set_up : set_ups) found.value += set_up.lower - set_up.upper;
    found.error = staff_error * std::sqrt(2 * static_cast<double>(set_ups.size()));
    return found;
}

WithError<Length> height_by_gauge(Pressure reading, Pressure at_no_pressure, Celsius water, Pressure gauge_range) {
    const Pressure stands = reading - at_no_pressure;
    const Water here = water_at(water);
    const Pressure error = gauge_range * std::hypot(gauge_class / 2, read_error);
    return {head_of_pressure(stands, here), head_of_pressure(error, here)};
}

} // namespace beckhand
