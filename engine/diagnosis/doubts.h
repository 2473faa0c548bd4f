// What would change a conclusion, what it rests on, and whether something does not fit at all. Plain sentences.
#pragma once

#include <string>

#include "engine/diagnosis/next_step.h"

namespace beckhand {

/// From this much belief in "none of the known causes" it is said that something does not fit.
inline constexpr double strange_from = 0.25;

struct Doubts {
    std::string would_change;  // the one thing not yet known that would most likely bring another cause to the front
    std::string rests_on;      // the one answer without which another cause would lead; may be empty
    std::string does_not_fit;  // what does not fit and what to look at next; empty: all fits
};

/// About the cause that leads, or the one on the screen. `without`: what beliefs_without says of these grounds.
[[nodiscard]] Doubts doubts_about(const Pack&, const Model&, const Visit&, const Grounds&, const Belief&,
                                  const std::vector<Belief>& without, std::size_t cause);

} // namespace beckhand
