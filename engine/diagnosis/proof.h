// After a fix: what to measure again, what it should be, and the verdict - proved, better but not yet
// right, not it, or nothing that tells yet.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/diagnosis/pack.h"
#include "engine/diagnosis/visit.h"
#include "engine/hydraulics/expectation.h"
#include "engine/quantity/text.h"

namespace beckhand {

struct ProofFigure {
    std::string measurement;            // id
    std::optional<double> wanted_si;    // the record, or what the site should give
    std::optional<double> least_si;     // from here on it counts as right
    std::optional<double> most_si;
    std::optional<double> before_si;    // after the last fix of this visit, else as found
    bool before_from_fix = false;       // the former
    enum class Before { measured, stood_still, told }; // where nobody measured it: what says that it was nothing
    Before before = Before::measured;
    std::optional<double> after_si;     // re-measured
    std::string basis;                  // where `wanted` comes from, in words
};

struct ProofState {
    std::vector<ProofFigure> figures;           // in the order to take them
    std::optional<std::string> next_measurement;// still to be taken
    bool look_missing = false;                  // the yes-or-no look is still to be answered
    std::optional<Verdict> verdict;             // once there is enough to say
    bool impossible = false;                    // a figure no pump gives here: take it back and measure again
    std::vector<int> open_steps;                // it got better, but these steps of the repair were never gone through
    std::string words;                          // the verdict in a sentence, with the figures
};

/// What stood before, as a person is told: the figure; of a pump that stood still, that it is taken as nothing for that;
/// empty where there is none, or where only somebody's word says that nothing came.
[[nodiscard]] std::string before_words(const Measurement&, const ProofFigure&, Units units);

/// The state of the proof for the visit's current attempt (or the given one). `expectation` is for the
/// visit's site; `units` are those of the words.
[[nodiscard]] ProofState prove(const Pack&, const Visit&, const Attempt&, const Expectation&,
                               Units units = Units::metric);

} // namespace beckhand
