// What could be asked or measured next, and what it takes; whether it is worth it is for the step rule to say.
#pragma once

#include <optional>
#include <vector>

#include "engine/diagnosis/next_step.h"

namespace beckhand {

/// An observation by eye, or the first measurement on the way to it.
struct Candidate {
    NextStep step;
    std::size_t observation = 0;
    double minutes = 0; // reading and walking too; of figures those of all that are still to be taken
};

/// `asked`: how many questions were gone through, for people tire.
[[nodiscard]] std::vector<Candidate> candidates(const Pack&, const Visit&, const std::vector<Fact>&, int asked);

/// Of a pump that runs and gives too little, the delivered flow and the waste flow are taken before anything
/// is touched: the proof of any repair is held against them. Once, and not where the rough answer is known.
[[nodiscard]] std::optional<Measure> baseline(const Pack&, const Visit&, const std::vector<Fact>&);

/// Seen or heard within two minutes with nothing in the hand but light: it takes no practice.
[[nodiscard]] bool takes_no_practice(const Observation&);

} // namespace beckhand
