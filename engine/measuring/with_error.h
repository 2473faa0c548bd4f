// A figure with how far it may be off: one standard deviation, in the figure's own unit. What is added up from
// several adds its errors in squares, as errors that know nothing of each other do (JCGM 100, eq. 10).
#pragma once

#include <cmath>

namespace beckhand {

template <class Q>
struct WithError {
    Q value{};
    Q error{};
};

template <class Q>
[[nodiscard]] Q root_sum_of_squares(Q a, Q b) {
    return Q::from_si(std::hypot(a.si(), b.si()));
}

} // namespace beckhand
