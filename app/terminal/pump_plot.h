// A run of the virtual pump as a picture (SVG 1.1): speed in the drive pipe, head at the valve, head in the
// vessel and the valve's opening, one under the other over the same time.
#pragma once

#include <string>

#include "app/terminal/pump_text.h"

namespace beckhand {

/// The last six beats of a pump that runs; the whole run of one that does not. Needs a series: without one
/// the frames are empty.
[[nodiscard]] std::string pump_svg(const PumpAnswer& answer, Units units);

} // namespace beckhand
