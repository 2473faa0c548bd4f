// What still holds after a repair that helped: facts that it can have changed are facts of before. METHOD.md
// states the rule.
#pragma once

#include <vector>

#include "engine/diagnosis/pack.h"
#include "engine/diagnosis/visit.h"

namespace beckhand {

/// The visit as it stands now. Figures of a proof that was judged are the present ones. After a repair that
/// made it better, these are left out: answers to what the repaired cause shows otherwise than a healthy
/// pump, answers and figures of how the pump runs, and the figures that such an answer follows from. What
/// nobody can look at again (the past) is kept as "cannot tell". Doing it twice changes nothing more.
[[nodiscard]] Visit present_of(const Pack&, const Visit&);

/// What is asked of people about the past: nobody can look at it again.
[[nodiscard]] bool of_the_past(const Observation&);

/// The answer to this observation that no longer holds, if it has not been asked again since.
[[nodiscard]] const Answered* before_repair(const Pack&, const Visit&, const Observation&);

/// Numbers of the events whose answers and figures no longer hold.
[[nodiscard]] std::vector<int> events_before_repair(const Pack&, const Visit&);

} // namespace beckhand
