// How much of the fallen water's work comes out as lifted water: two definitions, two published curves.
#pragma once

#include <optional>

#include "engine/quantity/quantity.h"

namespace beckhand {

/// D'Aubuisson: q h / (Q H). All water taken from the source is charged, the lift counts from the waste
/// valve. This is what the program calls yield. Absent where drive flow or fall is not above zero.
[[nodiscard]] std::optional<double> yield_of(FlowRate delivered, Length lift, FlowRate drive_flow,
                                             Length fall);

/// Rankine: q (h - H) / (w H). Only wasted water is charged, the lift counts from the source level.
[[nodiscard]] std::optional<double> rankine_yield(FlowRate delivered, Length lift, FlowRate waste,
                                                  Length fall);

/// Yield that an old trade table gives for lift / fall: Building Trades Pocketbook (US, about 1900), 72 % at
/// 4 down to nothing at 26, straight lines between its rows. Below 4 the first row is kept, as the table
/// starts there; absent for a ratio of 1 or less, where water runs to the outlet by itself.
[[nodiscard]] std::optional<double> table_yield(double lift_ratio);

/// Eytelwein 1805: E = 1.12 - 0.2 sqrt(x), never below 0. E is of the Rankine kind and x the lift above the
/// source level over the fall (Lueger/Weyrauch). Observed for x from 1 to 20. x >= 0.
[[nodiscard]] double eytelwein(double x);

/// The same as a D'Aubuisson yield: with R = lift / fall, x = R - 1, it is R E / (E + x). Absent for R <= 1.
[[nodiscard]] std::optional<double> eytelwein_yield(double lift_ratio);

/// Water wasted to lift `delivered` by `lift_above_source`, from a Rankine yield: w = q h / (E H).
[[nodiscard]] FlowRate waste_needed(FlowRate delivered, Length lift_above_source, Length fall,
                                    double rankine);

} // namespace beckhand
