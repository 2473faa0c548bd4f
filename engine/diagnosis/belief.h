// What the answers and figures say about the causes: every way things can be (one cause, two at once, something
// else), exact, in log space with a fixed order of summation, so that the same visit gives the same belief
// everywhere. METHOD.md explains it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/diagnosis/facts.h"
#include "engine/diagnosis/model.h"
#include "engine/diagnosis/pump_evidence.h"

namespace beckhand {

struct Belief {
    std::vector<double> hypothesis;   // by hypothesis of the model; sums to one
    std::vector<double> cause;        // chance that it is there, alone or with another; "something else" last
    std::vector<std::size_t> ranked;  // cause indexes, most likely first; ties by index
    double two = 0;                   // chance of two causes at once
    [[nodiscard]] double of(std::size_t index) const { return cause[index]; }
    [[nodiscard]] std::size_t first() const { return ranked.front(); }
};

/// All that speaks about the causes at one moment of a visit, gathered once: belief, next step and reasons are
/// computed from it.
struct Grounds {
    std::vector<Fact> facts;
    std::vector<std::vector<double>> says;  // by fact: logarithm of its chance by hypothesis; empty: says nothing
    std::vector<double> before;             // log of the prior by hypothesis, tried repairs taken into account
    std::vector<double> pump;               // log likelihood of the figures by the virtual pump; empty: not judged
    std::vector<std::size_t> by_pump;       // facts whose figures the virtual pump judges in their place
    std::vector<std::string> odd;           // measurements that no pump the belief holds likely would give
};

/// `evidence`: what the virtual pump of the visit's site gives under each cause, where it is known.
[[nodiscard]] Grounds grounds_of(const Pack&, const Model&, const Visit&, const PumpEvidence* evidence = nullptr,
                                 Units units = Units::metric);

/// Of bare facts, where nothing else is known of a visit.
[[nodiscard]] Grounds grounds_of(const Model&, std::vector<Fact> facts);

/// Always finite, hypotheses summing to one to 1e-12, whatever the facts. `without`: the index of a fact to leave
/// out; the virtual pump's word counts as one more, at facts.size().
[[nodiscard]] Belief belief_of(const Model&, const Grounds&, std::optional<std::size_t> without = std::nullopt);

/// The belief without each fact, by its index, and last without the virtual pump's word. Empty where there is nothing
/// to leave out.
[[nodiscard]] std::vector<Belief> beliefs_without(const Model&, const Grounds&);

/// Chances from logarithms of weights, without overflow; sums to one.
[[nodiscard]] std::vector<double> normalised(const std::vector<double>& log_weights);

/// The belief of a visit, all in one.
[[nodiscard]] Belief belief_after(const Pack&, const Model&, const Visit&, const PumpEvidence* evidence = nullptr);

} // namespace beckhand
