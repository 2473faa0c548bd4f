// Which weight and travel of the waste valve lift most with the water the source gives.
#pragma once

#include <optional>
#include <vector>

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

/// A travel and a load to be run.
struct SettingTry {
    PumpDesign design;
    double closing_share;
};

/// A grid of travels (0.4 to 1.3 times the design's) and loads.
[[nodiscard]] std::vector<SettingTry> settings_to_try(const PumpDesign& design);

/// The best among those that run steadily and take no more than `source`; ties go to the quicker beat. Absent
/// when none does. `runs` as many as `tries`.
[[nodiscard]] std::optional<Setting> best_of(const std::vector<SettingTry>& tries,
                                             const std::vector<PumpRun>& runs, FlowRate source);

/// Both at once.
[[nodiscard]] std::optional<Setting> best_setting(const PumpDesign& design, FlowRate source);

} // namespace beckhand
