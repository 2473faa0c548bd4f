// Beside each published limit of a site: what the virtual pump does here when the limit is broken, or put
// right. A limit that is kept is broken on trial, one that is broken is put right on trial.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/hydraulics/expectation.h"
#include "engine/pump/pump.h"
#include "engine/quantity/text.h"

namespace beckhand {

/// One thing changed at a site: "drive pipe" of 6 m.
struct LimitChange {
    std::string limit{};          // id of the limit
    bool puts_right = false;      // else it breaks the limit on trial
    std::string thing{};          // "a drive pipe", "a fall", "a soft plastic drive pipe"
    Figure kind = Figure::length; // of `value`
    std::optional<double> value{}; // SI
    PumpDesign design{};          // with the change made
};

/// The change and what came of it; the pump as it stands is Outlook's own.
struct LimitEffect {
    LimitChange change;
    PumpRun now, then;
};

/// A change for each limit that is known and has to do with how the pump runs. `sound` is the site's own
/// design. A pump that is put right is set anew, as a builder would; one that breaks a limit stays as set.
[[nodiscard]] std::vector<LimitChange> limit_changes(const Site& site, const PumpDesign& sound);

} // namespace beckhand
