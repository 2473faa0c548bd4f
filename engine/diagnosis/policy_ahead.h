// Following the next few steps through every answer, where few hypotheses are left.
#pragma once

#include <optional>
#include <vector>

#include "engine/diagnosis/policy.h"

namespace beckhand {

/// The step whose expected minutes are least when `steps` steps are followed exactly and repairing without
/// asking stands for the rest. Nothing where more than a handful of hypotheses hold nearly all of the belief.
[[nodiscard]] std::optional<Choice> look_ahead(const Situation&, const std::vector<double>& belief,
                                               int steps);

} // namespace beckhand
