// How far the steps of a repair are. One count for the window, the terminal, the record and the verdict.
#pragma once

#include <string>
#include <vector>

#include "engine/diagnosis/pack.h"
#include "engine/diagnosis/visit.h"

namespace beckhand {

/// Indices of the cause's steps, in their order. Skipped: left out by the person; open: neither done nor skipped.
struct StepsSoFar {
    std::vector<int> done, skipped, open;
};
[[nodiscard]] StepsSoFar steps_so_far(const Cause& cause, const Attempt& attempt);

/// "step 2", "steps 2, 4 and 5", as people count; empty for none.
[[nodiscard]] std::string steps_named(const std::vector<int>& steps);

/// "2 steps left: 3 and 5."; empty where none is open.
[[nodiscard]] std::string steps_left_words(const StepsSoFar& steps);

/// "4 of 6 steps done. Skipped: steps 3 and 5."; empty where no step was ticked or skipped at all.
[[nodiscard]] std::string steps_gone_words(const StepsSoFar& steps);

/// Beside a step that was skipped and has cautions of its own, while others are still to be done.
inline constexpr const char* skipped_guard_words = "Not done. In every step that follows, mind:";

} // namespace beckhand
