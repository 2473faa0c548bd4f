// Asking for its own sake: which question tells most of what to repair. Used where somebody doubts a finding, and to
// measure what the policy's own order is worth.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "engine/diagnosis/policy.h"

namespace beckhand {

/// The question that lowers the uncertainty about the repair (in nats) most for its minutes; none where all say next
/// to nothing. `repair_of`: faults with the same repair have the same number. Ties go to the lowest index.
[[nodiscard]] std::optional<std::size_t> most_telling(const Situation&, const std::vector<double>& belief,
                                                      const std::vector<std::size_t>& repair_of);

} // namespace beckhand
