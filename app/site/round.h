// A round without a fault, for the window and the terminal alike: which figures are taken, and the routine work
// in the order in which it falls due.
#pragma once

#include <array>
#include <vector>

#include "app/state.h"

namespace beckhand {

/// Measurements of the pack that the trend lives on; one that the pack has not is left out.
inline constexpr std::array round_figures{"Q", "W", "B", "H", "S"};

/// All services of the pack; a site that was never visited has no order yet and keeps the pack's.
[[nodiscard]] std::vector<const Service*> services_by_due(const State& state, const Pack& pack);

} // namespace beckhand
