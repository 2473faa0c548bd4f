// One beat of a pump from shut to shut, in equal steps: what a drawing of the working pump follows. By the virtual pump,
// or, until that is worked out, by the formulas of the ideal beat.
#pragma once

#include <array>
#include <cstddef>
#include <optional>

#include "engine/hydraulics/site.h"
#include "engine/pump/design.h"
#include "engine/quantity/quantity.h"

namespace beckhand {

/// Shares are of the largest in this beat, 0 to 1; the speed may be below 0: the water runs back.
struct BeatMoment {
    double valve = 0;       // how far the waste valve is open
    double speed_m_s = 0;   // of the water in the drive pipe
    double pressed = 0;     // head in the body over its least
    double check = 0;       // flow through the check valve
    double vessel = 0;      // head in the vessel over its least
    double delivery = 0;    // flow into the delivery pipe, of its largest
};

struct OneBeat {
    static constexpr std::size_t steps = 96;
    Duration period{};
    std::array<BeatMoment, steps> moments{};   // the first: the valve has just shut
    bool by_pump = false;                      // of the virtual pump
    /// At this share of the period, 0 to 1, between two steps in proportion.
    [[nodiscard]] BeatMoment at(double share) const;
};

/// The last whole beat of a run of the virtual pump (MODEL.md). Absent when it does not beat by itself.
[[nodiscard]] std::optional<OneBeat> one_beat(const PumpDesign& design);

/// Shut for the time of delivery, then open for the time of acceleration (ram_cycle.h), with the losses of the design.
/// The speed falls evenly and then rises as tanh. Absent where no beat is possible.
[[nodiscard]] std::optional<OneBeat> beat_by_formulas(const PumpDesign& design);

} // namespace beckhand
