// How far a computed figure is from a printed one. doctest's Approx adds 1 to the scale, which is too kind to
// figures far below 1, so published checks say their tolerance outright.
#pragma once

#include <cmath>

namespace beckhand::published {

inline double off(double computed, double printed) {
    return std::fabs(computed - printed);
}
inline double share_off(double computed, double printed) {
    return std::fabs(computed - printed) / std::fabs(printed);
}

} // namespace beckhand::published
