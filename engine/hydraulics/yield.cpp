// The two definitions of a ram's efficiency and the two published curves against the lift ratio.
#include "engine/hydraulics/yield.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

namespace beckhand {

std::optional<double> yield_of(FlowRate delivered, Length lift, FlowRate drive_flow, Length fall) {
    if (drive_flow <= FlowRate{} || fall <= Length{}) {
        return std::nullopt;
    }
    return (delivered / drive_flow) * (lift / fall);
}

std::optional<double> rankine_yield(FlowRate delivered, Length lift, FlowRate waste, Length fall) {
    if (waste <= FlowRate{} || fall <= Length{}) {
        return std::nullopt;
    }
    return (delivered / waste) * ((lift - fall) / fall);
}

std::optional<double> table_yield(double lift_ratio) {
    struct Row {
        double ratio, yield;
    };
    static constexpr std::array<Row, 12> rows{{{4, 0.72},
                                               {6, 0.61},
                                               {8, 0.52},
                                               {10, 0.44},
                                               {12, 0.37},
                                               {14, 0.31},
                                               {16, 0.25},
                                               {18, 0.19},
                                               {20, 0.14},
                                               {22, 0.09},
                                               {24, 0.04},
                                               {26, 0}}};
    if (!(lift_ratio > 1)) {
        return std::nullopt;
    }
    if (lift_ratio <= rows.front().ratio) {
        return rows.front().yield;
    }
    if (lift_ratio >= rows.back().ratio) {
        return 0;
    }
    const auto above =
        std::find_if(rows.begin(), rows.end(), [lift_ratio](const Row& r) { return r.ratio > lift_ratio; });
    const auto below = std::prev(above);
    return below->yield +
           (lift_ratio - below->ratio) / (above->ratio - below->ratio) * (above->yield - below->yield);
}

double eytelwein(double x) {
    return std::max(1.12 - 0.2 * std::sqrt(std::max(x, 0.0)), 0.0);
}

std::optional<double> eytelwein_yield(double lift_ratio) {
    if (!(lift_ratio > 1)) {
        return std::nullopt;
    }
    const double x = lift_ratio - 1, e = eytelwein(x);
    return lift_ratio * e / (e + x);
}

FlowRate waste_needed(FlowRate delivered, Length lift_above_source, Length fall, double rankine) {
    if (rankine <= 0 || fall <= Length{}) {
        return FlowRate{};
    }
    return delivered * (lift_above_source / fall) / rankine;
}

} // namespace beckhand
