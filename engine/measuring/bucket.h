// A flow by bucket and watch, filled to the same mark each time.
#pragma once

#include <span>

#include "engine/measuring/with_error.h"
#include "engine/quantity/quantity.h"

namespace beckhand {

/// Of a time that a hand starts and stops, one standard deviation: Manual timing in physics experiments, American
/// Journal of Physics 87 (2019) 110, from 4304 timings. Twice that is the reaction time commonly allowed for.
inline constexpr Duration watch_error = seconds(0.10);
/// Of a mark in a bucket whose content nobody has weighed: common practice.
inline constexpr double mark_error = 0.02;
inline constexpr Duration fill_least = seconds(10);     // shorter fills time the hand rather than the water
inline constexpr std::size_t fills_wanted = 3;

struct BucketFlow {
    WithError<FlowRate> flow;          // zero until there is a fill
    double spread = 0;                 // between the fastest and the slowest fill, share of the middle
    bool disagree = false;             // further apart than watch and water explain
    std::size_t furthest = 0;          // the fill that is furthest from the middle one
    bool short_fill = false;           // one took less than fill_least
};

/// The middle fill counts: one that went wrong does not move it. Error: of the mark, and of the fills by watch and
/// by how far they lie apart, the larger of the two.
[[nodiscard]] BucketFlow flow_of_fills(Volume volume, std::span<const Duration> fills);

} // namespace beckhand
