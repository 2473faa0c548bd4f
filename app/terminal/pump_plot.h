// A run of the virtual pump as a plot: speed in the drive pipe, head at the valve, head in the
// vessel and the valve's opening, one under the other over the same time.
#pragma once

#include "app/terminal/plot.h"
#include "app/terminal/pump_text.h"

namespace beckhand {

/// The last six beats of a pump that runs; the whole run of one that does not. Needs a series: without one
/// the frames are empty.
[[nodiscard]] Plot pump_plot(const PumpAnswer& answer, Units units);

} // namespace beckhand
