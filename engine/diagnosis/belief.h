// What the answers and figures say about the causes: one exclusive cause, exact, in log space with a fixed
// order of summation, so that the same visit gives the same belief everywhere. METHOD.md explains it.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/diagnosis/derived.h"
#include "engine/diagnosis/pack.h"
#include "engine/diagnosis/visit.h"

namespace beckhand {

/// How often a cause's check finds it when it is there (common practice: done by hand, in the wet).
inline constexpr double check_finds = 0.92;

/// The pack as numbers: likelihood[observation][cause][answer], built once per pack. The last cause index
/// (== pack.causes.size()) stands for "something else": none of the known causes.
class Model {
public:
    explicit Model(const Pack& pack);
    [[nodiscard]] std::size_t causes() const { return log_prior_.size(); }
    [[nodiscard]] std::size_t observations() const { return likelihood_.size(); }
    [[nodiscard]] std::size_t answers(std::size_t observation) const { return answers_[observation]; }
    /// Chance of an answer under a cause; the answers that are not `cannot` sum to one.
    [[nodiscard]] double likelihood(std::size_t observation, std::size_t cause, std::size_t answer) const {
        return likelihood_[observation][cause * answers_[observation] + answer];
    }
    [[nodiscard]] double log_prior(std::size_t cause) const { return log_prior_[cause]; }
    [[nodiscard]] bool is_cannot(std::size_t observation, std::size_t answer) const {
        return cannot_[observation][answer];
    }
    [[nodiscard]] std::size_t group(std::size_t observation) const { return group_[observation]; }
    [[nodiscard]] std::size_t groups() const { return groups_; }
    [[nodiscard]] double group_repeat() const { return group_repeat_; }

private:
    std::vector<double> log_prior_;
    std::vector<std::vector<double>> likelihood_;
    std::vector<std::size_t> answers_;
    std::vector<std::vector<bool>> cannot_;
    std::vector<std::size_t> group_;
    std::size_t groups_ = 0;
    double group_repeat_ = 1;
};

/// One thing that was seen: chances over the answers of an observation. An answer given by a person is a
/// single 1; a figure is spread over its bands by its error.
struct Fact {
    std::size_t observation = 0;
    std::vector<double> answer;      // weight by answer index; sums to one; empty: cannot tell
    bool from_figures = false;
    std::string words;               // "Strainer: matted over", "Yield 0.42 of the table"
};

/// Everything a visit has shown, in the order it came, figures last; answers and figures of the same
/// observation are one fact (the figure wins). `units` are those of the words.
[[nodiscard]] std::vector<Fact> facts_of(const Pack&, const Visit&, Units units = Units::metric);

struct Belief {
    std::vector<double> cause;        // by cause index, "something else" last; sums to one
    std::vector<std::size_t> ranked;  // cause indexes, most likely first; ties by index
    [[nodiscard]] double of(std::size_t index) const { return cause[index]; }
    [[nodiscard]] std::size_t first() const { return ranked.front(); }
};

/// How much each fact counts: 1, or less where several of one group were answered (they say nearly the
/// same thing), 0 for "cannot tell".
[[nodiscard]] std::vector<double> fact_weights(const Model&, const std::vector<Fact>&);

/// Chances from logarithms of weights, without overflow; sums to one.
[[nodiscard]] std::vector<double> normalised(const std::vector<double>& log_weights);

/// The belief after these facts and after fixes that were tried and did not help.
/// Always finite and sums to one to 1e-12, whatever the facts.
[[nodiscard]] Belief belief_after(const Pack&, const Model&, const std::vector<Fact>&,
                                  const std::vector<Attempt>& attempts);

} // namespace beckhand
