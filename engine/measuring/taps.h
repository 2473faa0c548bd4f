// The beat from taps on the glass, one at each shut of the waste valve. A tap too many and a tap that was missed
// are recognised by their place between the others, and do not move the rate.
#pragma once

#include <span>
#include <vector>

#include "engine/measuring/with_error.h"
#include "engine/quantity/quantity.h"

namespace beckhand {

struct TappedBeat {
    WithError<Frequency> rate;         // zero until there are three taps
    std::vector<double> off;           // of each interval counted, share of the beat: 0.05 came 5 % late
    int beats = 0;                     // intervals counted, missed ones included
    int missed = 0, doubled = 0;
    bool sure = false;                 // within one beat a minute at 95 %, and steady enough to be a beat
    bool unsteady = false;             // the taps are no beat: too many missed, doubled or far off
};

/// `times` in seconds of a clock that never goes back, rising. A tap nearer than 0.6 of the usual interval to the one before
/// is a tap too many; an interval of about n times the usual one has n - 1 missed beats in it.
///
/// The rate is the slope of the straight line through the taps. Its error comes from two parts that the
/// intervals themselves tell apart: the hand, which is off by itself each time (neighbouring intervals then lean
/// against each other), and the pump, whose beats carry on from each other. The first shrinks with n^1.5, the second
/// with n^0.5 only.
[[nodiscard]] TappedBeat beat_of_taps(std::span<const double> times);

} // namespace beckhand
