// Which weight and travel of the waste valve lift most with the water the source gives.
#pragma once

#include <optional>

#include "engine/pump/pump.h"

namespace beckhand {

struct Setting {
    Length travel;
    Mass load;            // weight under water that holds the valve open, as mass
    double closing_share; // speed at which it shuts over the speed held open
    FlowRate drive, delivered;
    Frequency beat;
    double efficiency;
};

/// The best of a grid of travels (0.4 to 1.3 times the design's) and loads, among settings that run steadily
/// and take no more than `source`; ties go to the quicker beat. Absent when none does.
[[nodiscard]] std::optional<Setting> best_setting(const PumpDesign& design, FlowRate source);

} // namespace beckhand
