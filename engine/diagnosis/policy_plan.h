// Repairing without asking, on flat arrays: which repair after which, and when to call for help instead. The
// inner loop of the decision policy; METHOD.md explains the order.
#pragma once

#include <cstddef>
#include <vector>

#include "engine/diagnosis/policy.h"

namespace beckhand {

inline constexpr std::size_t call_help = std::numeric_limits<std::size_t>::max();

/// What a plan comes to, times the weight of the belief it was made for, so that plans after each answer of a
/// question can simply be added up.
struct Plan {
    double minutes = 0;
    std::size_t first = call_help; // the first repair of it
};

/// Plans for one choice of hypotheses; keeps its working memory, so that planning allocates nothing.
/// The kept hypotheses, and the single ones that are left when one fault of a kept pair goes; by index, rising.
[[nodiscard]] std::vector<std::size_t> with_what_is_left(const Situation&, const std::vector<unsigned char>& keep);

class Planner {
public:
    /// `kept`: the hypotheses that weights are given for, in this order. Weights need not sum to one.
    Planner(const Situation& situation, const std::vector<std::size_t>& kept);

    [[nodiscard]] std::size_t size() const { return places_.size(); }
    [[nodiscard]] std::size_t repairs() const { return check_.size(); }
    /// Index in the Situation of a repair of this planner, which knows only those that cure something kept.
    [[nodiscard]] std::size_t original(std::size_t repair) const { return original_[repair]; }

    /// The cheapest cut of the order by belief per minute. Repairs marked in `done` are left out.
    [[nodiscard]] Plan plan(const double* weights);
    /// The same, tried from every first repair: a little cheaper where repairs overlap or two faults may be
    /// there.
    [[nodiscard]] Plan plan_from_any(const double* weights);
    /// Minutes of one repair, check and fix, times the weight.
    [[nodiscard]] double minutes_of(std::size_t repair, const double* weights) const;
    /// Weights after a repair that did not put it right; they sum to the chance of that.
    void after(std::size_t repair, const double* weights, double* out) const;
    /// Expected minutes where a hypothesis is known, nothing left to ask (weight one).
    [[nodiscard]] std::vector<double> known();
    /// Hypotheses that the same repairs can help have the same number, counted from zero.
    [[nodiscard]] std::vector<std::size_t> classes() const;

    std::vector<unsigned char> done; // by repair of this planner

private:
    struct Place {
        std::size_t first = 0, second = 0;
        std::size_t single_of_first = 0, single_of_second = 0;
    };
    struct Cure {
        std::size_t fault = 0;
        double chance = 0, longer = 0;
    }; // longer: than the shortest fix for the fault
    [[nodiscard]] double chance(std::size_t repair, std::size_t fault) const {
        return table_[repair * width_ + fault];
    }

    /// Minutes for one hypothesis when this repair comes first. `open` is working memory.
    [[nodiscard]] double known_from(const Place& place, std::size_t start,
                                    const std::vector<std::size_t>& repairs,
                                    std::vector<std::size_t>& open) const;

    std::size_t faults_ = 0, width_ = 0;
    double help_ = 0, least_check_ = 0;
    std::vector<Place> places_;
    std::vector<std::size_t> pairs_; // hypotheses with two faults
    std::vector<double> check_, fix_, table_;
    std::vector<std::size_t> begin_, original_;
    std::vector<Cure> cures_;
    std::vector<double> both_, left_, credit_, all_, next_; // working memory of plans
    std::vector<std::size_t> open_;
};

} // namespace beckhand
