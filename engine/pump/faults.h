// Faults as data: which parameters of the virtual pump a cause moves, and how far at its worst. No cause has
// code of its own; a new one is a line in faults.cpp (or, later, in the knowledge files: names are strings).
#pragma once

#include <string_view>
#include <vector>

#include "engine/problem.h"
#include "engine/pump/design.h"

namespace beckhand {

/// What severity s (0 sound .. 1 as bad as it gets) makes of a parameter that is p when sound; r is the size
/// it is measured by.
enum class Moves {
    add,     // p + s amount r
    times,   // p amount^s
    towards, // p + s (amount r - p)
    down_to, // the lesser of p and r (1 - s + s amount); p = 0 counts as no limit
};

/// `by` is a parameter's name, empty for 1, or a size of the pump: "drive.bore_area" (m2), "drive.volume"
/// (m3), "usual_draw" (m3/s, a third of the flow with the waste valve held open), "delivery.bore_area" (m2).
struct FaultEffect {
    std::string_view cause;
    std::string_view parameter;
    Moves moves;
    double amount;
    std::string_view by;
};

[[nodiscard]] const std::vector<FaultEffect>& fault_effects();

/// Causes that leave the pump's own working untouched (use has grown, the tank leaks, nothing is wrong).
[[nodiscard]] const std::vector<std::string_view>& causes_outside_the_pump();

/// Moves the design's parameters for this cause. Problem for a cause nobody has described, or a severity
/// outside 0..1. Sizes are taken from the design as it comes in.
[[nodiscard]] Outcome apply_fault(PumpDesign& design, std::string_view cause, double severity);

/// The same for effects from elsewhere; a name that is not a parameter or size is a Problem.
[[nodiscard]] Outcome apply_effect(PumpDesign& design, const PumpDesign& sound, const FaultEffect& effect,
                                   double severity);

} // namespace beckhand
