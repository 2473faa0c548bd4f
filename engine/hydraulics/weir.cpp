// Weir formulas, each in the units of its source.
#include "engine/hydraulics/weir.h"

#include <algorithm>
#include <cmath>

namespace beckhand {

namespace {

FlowRate printed_notch(double factor, Length head) {
    if (head <= Length{}) {
        return FlowRate{};
    }
    return cubic_feet_per_second(factor * std::pow(head.in(feet), 2.5));
}

} // namespace

FlowRate v_notch_90(Length head, Length head_correction) {
    if (head <= Length{}) {
        return FlowRate{};
    }
    constexpr double ce = 0.578;
    const double h = (head + head_correction).in(metres);
    return cubic_metres_per_second(8.0 / 15 * ce * std::sqrt(2 * g_si) * std::pow(h, 2.5));
}

FlowRate v_notch_60(Length head) {
    return printed_notch(1.443, head);
}

FlowRate v_notch_45(Length head) {
    return printed_notch(1.035, head);
}

FlowRate francis_weir(Length crest, Length head) {
    if (head <= Length{} || crest <= Length{}) {
        return FlowRate{};
    }
    const double l = crest.in(feet), h = head.in(feet);
    return cubic_feet_per_second(3.33 * std::max(l - 0.2 * h, 0.0) * std::pow(h, 1.5));
}

} // namespace beckhand
