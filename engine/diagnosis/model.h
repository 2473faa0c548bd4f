// The pack as numbers: every way things can be (one cause, two at once, something else), how common each is and
// how often each shows each answer. Built once for a pack. METHOD.md explains the tables.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "engine/diagnosis/pack.h"
#include "engine/diagnosis/policy.h"
#include "engine/diagnosis/visit.h"

namespace beckhand {

/// How often a cause's check finds it when it is there (common practice: done by hand, in the wet).
inline constexpr double check_finds = 0.92;
/// How often a check blames its cause when it is not there (common practice).
inline constexpr double check_blames = 0.05;

class Model;

/// Chance of each cause, "something else" last, from the chances of the hypotheses: alone and in every pair.
[[nodiscard]] std::vector<double> by_cause(const Model&, const std::vector<double>& hypotheses);
/// How differently two causes answer an observation (symmetric Kullback-Leibler divergence, nats).
[[nodiscard]] double apart_on(const Model&, std::size_t observation, std::size_t first, std::size_t second);

/// Hypotheses come in this order: each cause of the pack alone, "something else" (index == pack.causes.size()),
/// then the pairs. A pair has two causes with different repairs; a healthy pump is in none.
class Model {
public:
    explicit Model(const Pack& pack);
    /// The causes and "something else".
    [[nodiscard]] std::size_t causes() const { return causes_; }
    [[nodiscard]] std::size_t something_else() const { return causes_ - 1; }
    [[nodiscard]] const std::vector<Hypothesis>& hypotheses() const { return hypotheses_; }
    [[nodiscard]] std::size_t observations() const { return table_.size(); }
    [[nodiscard]] std::size_t answers(std::size_t observation) const { return background_[observation].size(); }

    /// Chance of an answer under a hypothesis as it truly looks, before anybody slips; the answers that are not
    /// `cannot` sum to one.
    [[nodiscard]] double shows(std::size_t observation, std::size_t hypothesis, std::size_t answer) const {
        return table_[observation][answer * hypotheses_.size() + hypothesis];
    }
    /// All hypotheses' chances of one answer, in their order.
    [[nodiscard]] std::span<const double> shows_all(std::size_t observation, std::size_t answer) const {
        return std::span<const double>(table_[observation]).subspan(answer * hypotheses_.size(), hypotheses_.size());
    }
    /// The answer as an average cause shows it: what a slip is drawn from.
    [[nodiscard]] double background(std::size_t observation, std::size_t answer) const {
        return background_[observation][answer];
    }
    /// Chance of an answer under a hypothesis, the slips of a keeper mixed in.
    [[nodiscard]] double likelihood(std::size_t observation, std::size_t hypothesis, std::size_t answer) const {
        const double slip = slip_of(observation, Person::keeper);
        return (1 - slip) * shows(observation, hypothesis, answer) + slip * background(observation, answer);
    }
    /// Share of answers to this observation that are wrong when this person gives them.
    [[nodiscard]] double slip_of(std::size_t observation, Person person) const;
    /// Share of "cannot tell", the same under every hypothesis.
    [[nodiscard]] double cannot_share() const { return scale_.cannot; }

    /// Chance of each hypothesis before anything is known of the site; sums to one.
    [[nodiscard]] const std::vector<double>& prior() const { return prior_; }
    /// The same with each cause's own share multiplied by `times` (as many as pack.causes), pairs with them.
    [[nodiscard]] std::vector<double> prior_with(const std::vector<double>& times) const;

    [[nodiscard]] bool is_cannot(std::size_t observation, std::size_t answer) const {
        return cannot_[observation][answer];
    }
    [[nodiscard]] std::size_t group(std::size_t observation) const { return group_[observation]; }
    [[nodiscard]] std::size_t groups() const { return groups_; }
    [[nodiscard]] double group_repeat() const { return scale_.group_repeat; }

private:
    Scale scale_;
    std::size_t causes_ = 0;
    std::vector<Hypothesis> hypotheses_;
    std::vector<double> per_1000_;              // by cause, "something else" last
    std::vector<double> chained_;               // by hypothesis: factor of a pair, 1 for the others
    std::vector<double> prior_;
    std::vector<std::vector<double>> table_;
    std::vector<std::vector<double>> background_;
    std::vector<std::vector<bool>> cannot_;
    std::vector<double> slip_times_;
    std::vector<std::size_t> group_;
    std::size_t groups_ = 0;
};

} // namespace beckhand
